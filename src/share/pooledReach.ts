import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import { kits } from '../contracts/kits.js';
import { type ReachRow, reachRow } from '../contracts/results/merge.js';
import { Database, identifier } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { kitFileFaulty, noKitInFile } from '../errors/shareMessages.js';
import { loadFiles } from '../load/loadFiles.js';
import { listRejects } from '../load/rejects.js';
import { buildTable } from '../model/buildTable.js';
import { calledBy } from '../model/dependencies.js';
import { modelFiles } from '../model/sqlFile.js';
import { plain } from '../units/plain.js';

type Row = Readonly<Record<string, string | number | null>>;

/** A plate to judge against the pooled needs: kits of a file, or a slot of a direction (deg) through the mean need of each target. */
export interface Plates {
    kit?: string | undefined;
    slot?: number | undefined;
}

/** Tables that {@link pooledReach} asks besides those of merge. */
export const reachNeeds = ['ranged'];

const columns = kits.columns.map(({ name }) => name);

/** The rows of a kits file that keep the contract; a {@link UserError} unless all do, and there are some. */
async function kitsOf(file: string): Promise<Row[]> {
    const folder = mkdtempSync(join(tmpdir(), 'strutmark-kits-'));
    const place = join(folder, 'kits.duckdb');
    try {
        const { refused } = await loadFiles([file], place, { kind: 'kits' });
        if (refused.length > 0) throw new UserError(refused[0]!.reason);
        const db = await Database.open({ file: place, mode: 'read' });
        try {
            const [reject] = await listRejects(db);
            if (reject !== undefined) throw new UserError(kitFileFaulty(file, reject));
            const rows = (await db.cells(`select ${columns.map(identifier).join(', ')} from kits`)) as Row[];
            if (rows.length === 0) throw new UserError(noKitInFile(file));
            return rows;
        } finally {
            db.close();
        }
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
}

const middleRow = z.object({
    chassis: z.string(),
    target: z.string(),
    out_mm: z.number().nullable(),
    aft_mm: z.number().nullable(),
});

/** A slot of 80 mm for each chassis and target, through its mean need, in direction `axis_deg` from outboard towards rearward. */
async function slotsOf(db: Database, axis_deg: number): Promise<Row[]> {
    const middles = await db.rows(
        middleRow,
        `select chassis, target, max(mean_mm) filter (where axis = 'out') as out_mm, max(mean_mm) filter (where axis = 'aft') as aft_mm
        from needed_spreads group by chassis, target`,
    );
    return middles.map(({ chassis, target, out_mm, aft_mm }) => ({
        kit: slotFor(target),
        chassis,
        index_count: 1,
        axis_deg,
        mark_pitch_mm: 1,
        mark_min: -40,
        mark_max: 40,
        centre_out_mm: out_mm ?? 0,
        centre_aft_mm: aft_mm ?? 0,
    }));
}

const slotFor = (target: string) => `slot for ${target}`;

/**
 * What the plates reach of the needs of a database of `mergeShares` made with {@link reachNeeds}: per chassis, target and kit, over the
 * best bolt positions. Replaces the kits of `db`. Throws a {@link UserError} where the file holds no kit or a faulty row.
 */
export async function pooledReach(db: Database, { kit, slot }: Plates): Promise<ReachRow[]> {
    const wanted = [
        ...(kit === undefined ? [] : await kitsOf(kit)),
        ...(slot === undefined ? [] : await slotsOf(db, slot)),
    ];
    if (wanted.length === 0) return [];
    const types = Object.fromEntries(
        kits.columns.map(({ name, type }) => [
            name,
            type === 'number' ? 'DOUBLE' : type === 'integer' ? 'INTEGER' : 'VARCHAR',
        ]),
    );
    await db.run('delete from kits');
    await db.run(
        `insert into kits by name select unnest(from_json($rows, '[${JSON.stringify(types)}]'), recursive := true)`,
        { rows: JSON.stringify(wanted) },
    );
    await buildTable(db, modelFiles().find(({ table }) => table === 'plates')!);
    const { functions, questions } = await calledBy(db, reachNeeds);
    for (const { query } of [...functions, ...questions]) await db.run(query);
    const rows = await db.rows(
        reachRow,
        `select ${Object.keys(reachRow.shape).join(', ')} from ranged(null::varchar, null::varchar, null::varchar)
        where plate_index is null and kit is not null order by chassis, target, kit`,
    );
    return rows
        .filter((row) => !row.kit.startsWith('slot for ') || row.kit === slotFor(row.target))
        .map((row) => (row.kit === slotFor(row.target) ? slotRow(row, slot!) : row));
}

/** A slot that is only a direction has no length of its own to reach a share with. */
function slotRow(row: ReachRow, axis_deg: number): ReachRow {
    const none = { share_reachable: null, conf_low: null, conf_high: null, half_length_mm: null };
    return { ...row, ...none, kit: `slot at ${plain(axis_deg, 1)} deg` };
}
