import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import type { FileLoad } from './fileLoad.js';
import { contentNames, numberedKeys, sameKey } from './keySql.js';

/**
 * A file that replaces rows says nothing about columns that it lacks: its rows take them over from the stored rows of their keys.
 * Returns the columns of which a value was taken over. To be run while the rows of the file stand beside the stored ones.
 */
export async function keepColumns(db: Database, load: FileLoad): Promise<string[]> {
    const { contract, names, loadId, replace, insteadOf, intoEmptyTable } = load;
    const lacking = contentNames(contract).filter((name) => !names.includes(name));
    if ((!replace && insteadOf === null) || intoEmptyTable || lacking.length === 0) return [];
    const table = identifier(contract.kind);
    const keys = numberedKeys(contract);
    const columns = lacking.map(identifier);
    const givesWay = replace ? '' : `and load_id = ${insteadOf}`;
    await db.run(
        `create or replace temp table kept as
        select fresh.row_id, ${columns.map((column) => `stored.${column}`).join(', ')}
        from (select ${keys}, rowid as row_id from ${table} where load_id = ${loadId}) as fresh
        inner join (
            select ${keys}, ${columns.join(', ')} from ${table} where load_id < ${loadId} ${givesWay}
        ) as stored
            on ${sameKey(contract, 'fresh', 'stored')}
        where coalesce(${columns.map((column) => `cast(stored.${column} as varchar)`).join(', ')}) is not null`,
    );
    const counts = columns.map((column) => `count(${column}) as ${column}`);
    const [row] = await db.rows(z.record(z.string(), z.int()), `select ${counts.join(', ')} from kept`);
    const kept = lacking.filter((name) => row![name]! > 0);
    if (kept.length === 0) return [];
    await db.run(
        `update ${table} as held set ${columns.map((column) => `${column} = kept.${column}`).join(', ')}
        from kept where kept.row_id = held.rowid`,
    );
    return kept;
}
