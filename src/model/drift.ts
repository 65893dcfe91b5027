import { z } from 'zod';
import { type DriftRow, driftRow, type UnrecordedRow, unrecordedRow } from '../contracts/results/drift.js';
import type { Database } from '../db/database.js';
import { driftWords, isOpen, readingThatWouldTell } from '../units/driftWords.js';
import { isStillOpen, unrecordedWords } from '../units/unrecordedWords.js';
import { askedDrift, driftNotes } from './driftNotes.js';
import { requireName } from './names.js';

interface DriftQuestion {
    vehicle?: string | undefined;
    /** ISO 8601 date or date and time, local wall time: sessions measured from then on. */
    since?: string | undefined;
    /** Leave out corners that held; the notes count them all the same. */
    notHeld?: boolean | undefined;
}

const read = z.object({
    has_caster: z.boolean(),
    has_toe: z.boolean(),
    has_sai: z.boolean(),
    has_rears: z.boolean(),
    has_other_front: z.boolean(),
});

/** A row of table `drift` as it is stored: without its words, with what was read. */
const storedDriftRow = driftRow
    .omit({ words: true, reading_that_would_tell: true, is_open: true })
    .extend(read.shape);

/** The row with its words, as the contract has it. */
function toldDrift(row: z.infer<typeof storedDriftRow>): DriftRow {
    const { has_caster, has_toe, has_sai, has_rears, has_other_front, reason, ...told } = row;
    return {
        ...told,
        words: driftWords(row),
        is_open: isOpen(row),
        reading_that_would_tell: readingThatWouldTell(row, row),
        reason,
    };
}

/** What has to be there before it can be asked. */
export const driftNeeds = [
    'told_drift',
    'told_unrecorded',
    'drift',
    'drift_odds',
    'drift_rules',
    'height_gains',
    'reading_noise',
    'session_pairs',
    'setting_trends',
];

/** The row of table `unrecorded_changes` as it is stored. */
const storedUnrecorded = unrecordedRow.omit({ words: true, is_open: true });

/** Fronts that moved though nothing ran, or other than their pointers say, the newest first. */
async function unrecorded(
    db: Database,
    asked: { vehicle: string | null; since: string | null },
): Promise<UnrecordedRow[]> {
    const stored = await db.rows(
        storedUnrecorded,
        `select ${Object.keys(storedUnrecorded.shape).join(', ')} from told_unrecorded()
        where ${askedDrift}
        order by ordered_ts desc, vehicle, visit, phase, corner`,
        asked,
    );
    return stored.map((row) => ({ ...row, words: unrecordedWords(row), is_open: isStillOpen(row) }));
}

/**
 * What each session did to each front corner, in time order, with what a reader must know as sentences. The control of the
 * false-discovery rate is over all sessions of the database, whatever is asked for. Throws a {@link UserError} when the vehicle is
 * not known.
 */
export async function drift(
    db: Database,
    { vehicle, since, notHeld = false }: DriftQuestion = {},
): Promise<{ rows: DriftRow[]; notes: string[]; unrecorded: UnrecordedRow[] }> {
    if (vehicle !== undefined) await requireName(db, 'readings', 'vehicle', vehicle);
    const asked = { vehicle: vehicle ?? null, since: since ?? null };
    const stored = await db.rows(
        storedDriftRow,
        `select ${Object.keys(storedDriftRow.shape).join(', ')} from told_drift()
        where ${askedDrift} and (verdict <> 'held' or not $not_held)
        order by ordered_ts, vehicle, visit, corner`,
        { ...asked, not_held: notHeld },
    );
    return {
        rows: stored.map(toldDrift),
        notes: await driftNotes(db, { vehicle, since }),
        unrecorded: await unrecorded(db, asked),
    };
}
