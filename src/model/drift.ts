import { z } from 'zod';
import { type DriftRow, driftRow } from '../contracts/results/drift.js';
import type { Database } from '../db/database.js';
import { driftWords, isOpen, readingThatWouldTell } from '../units/driftWords.js';
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
    'drift',
    'drift_odds',
    'drift_rules',
    'height_gains',
    'reading_noise',
    'session_pairs',
    'setting_trends',
];

/**
 * What each session did to each front corner, in time order, with what a reader must know as sentences. The control of the
 * false-discovery rate is over all sessions of the database, whatever is asked for. Throws a {@link UserError} when the vehicle is
 * not known.
 */
export async function drift(
    db: Database,
    { vehicle, since, notHeld = false }: DriftQuestion = {},
): Promise<{ rows: DriftRow[]; notes: string[] }> {
    if (vehicle !== undefined) await requireName(db, 'readings', 'vehicle', vehicle);
    const stored = await db.rows(
        storedDriftRow,
        `select ${Object.keys(storedDriftRow.shape).join(', ')} from told_drift()
        where ${askedDrift} and (verdict <> 'held' or not $not_held)
        order by ordered_ts, vehicle, visit, corner`,
        { vehicle: vehicle ?? null, since: since ?? null, not_held: notHeld },
    );
    return { rows: stored.map(toldDrift), notes: await driftNotes(db, { vehicle, since }) };
}
