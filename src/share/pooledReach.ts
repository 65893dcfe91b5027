import { z } from 'zod';
import { kits } from '../contracts/kits.js';
import { type ReachRow, reachRow } from '../contracts/results/merge.js';
import type { Database } from '../db/database.js';
import { buildTable } from '../model/buildTable.js';
import { calledBy } from '../model/dependencies.js';
import { modelFiles } from '../model/sqlFile.js';

type Row = Readonly<Record<string, string | number | null>>;

/** Plates to judge against the pooled needs: kits as a kits file has them, or a slot of a direction (deg) through the mean need of each target. */
export interface Plates {
    kits?: readonly Row[] | undefined;
    slot?: number | undefined;
}

/** Tables that {@link pooledReach} asks besides those of merge. */
export const reachNeeds = ['ranged'];

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
 * best bolt positions. Replaces the kits of `db`.
 */
export async function pooledReach(db: Database, { kits: given = [], slot }: Plates): Promise<ReachRow[]> {
    const wanted = [...given, ...(slot === undefined ? [] : await slotsOf(db, slot))];
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
    return { ...row, ...none, kit: `slot at ${Number(axis_deg.toFixed(1))} deg` };
}
