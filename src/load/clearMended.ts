import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import { csvCells } from './csvCells.js';
import type { FileLoad } from './fileLoad.js';
import { keyCell } from './keySql.js';

const waitingRow = z.object({
    load_id: z.int(),
    line: z.int(),
    text: z.string(),
    header: z.string(),
    column: z.string().nullable(),
});

/** More rejects than this are not looked through for each load. */
const MOST_LOOKED_AT = 20_000;

/**
 * Clears rejects of other files that rows of this load mend: the same key, as it stands in the row that was set aside, where the fault
 * is not in the key itself. Rows that a map made are left alone: their cells are not ours.
 */
export async function clearMended(db: Database, { contract, loadId }: FileLoad): Promise<void> {
    const waiting = await db.rows(
        waitingRow,
        `select rejects.load_id, rejects.line, rejects.text, loads.header, rejects.column_name as column
        from rejects
        inner join loads using (load_id)
        where cleared_by is null and rejects.kind = $kind and loads.map is null and rejects.load_id <> $load_id
        limit ${MOST_LOOKED_AT}`,
        { kind: contract.kind, load_id: loadId },
    );
    const keyed = waiting.flatMap(({ load_id, line, text, header, column }) => {
        if (column === null || contract.key.includes(column)) return [];
        const names = csvCells(header);
        const cells = csvCells(text);
        const key = contract.key.map((name) => {
            const blank = contract.columns.find((one) => one.name === name)!.blankMeans;
            return cells[names.indexOf(name)] || String(blank ?? '');
        });
        return [{ load_id, line, key: JSON.stringify(key) }];
    });
    if (keyed.length === 0) return;
    const cells = contract.key.map((name) => `coalesce(cast(${keyCell(contract, name)} as varchar), '')`);
    await db.run(
        `update rejects set cleared_by = $loaded
        from (
            select unnest(from_json($keyed, '[{"load_id": "INTEGER", "line": "INTEGER", "key": "VARCHAR"}]'), recursive := true)
        ) as mended
        where rejects.load_id = mended.load_id and rejects.line = mended.line and cleared_by is null
            and from_json(mended.key, '["VARCHAR"]') in (
                select [${cells.join(', ')}] from ${identifier(contract.kind)} where load_id = $loaded
            )`,
        { keyed: JSON.stringify(keyed), loaded: loadId },
    );
}
