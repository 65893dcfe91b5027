import { z } from 'zod';
import type { ForgottenRow } from '../../contracts/results/forget.js';
import { type Database, identifier } from '../../db/database.js';
import { voidedTable } from '../../db/schema.js';
import { listRows } from './rows.js';
import type { Asked } from './targets.js';

/** Who takes rows out, and why. */
export interface Reason {
    by: string;
    because: string;
}

async function nextVoidingId(db: Database): Promise<number> {
    const [row] = await db.rows(
        z.object({ next: z.int() }),
        'select coalesce(max(voiding_id), 0) + 1 as next from voidings',
    );
    return row!.next;
}

/**
 * Moves rows from the tables of their kinds to those of the voided ones, all under one voiding, and returns them. To be run in a
 * transaction.
 */
export async function voidRows(
    db: Database,
    asked: readonly Asked[],
    name: string,
    { by, because }: Reason,
): Promise<ForgottenRow[]> {
    const voiding_id = await nextVoidingId(db);
    const rows: ForgottenRow[] = [];
    for (const { contract, condition, withFile } of asked) {
        const table = identifier(contract.kind);
        rows.push(
            ...(await listRows(
                db,
                contract,
                `(select *, ${voiding_id} as voiding_id, 'voided' as status, null as taken_by from ${table} where ${condition})`,
            )),
        );
        await db.run(
            `insert into ${identifier(voidedTable(contract.kind))} by name
            select held.*, ${voiding_id} as voiding_id, ${withFile} as with_file from ${table} as held where ${condition}`,
        );
        await db.run(`delete from ${table} where ${condition}`);
    }
    if (rows.length > 0) {
        await db.run(
            `insert into voidings
            values ($voiding_id, $asked, cast(now() at time zone 'UTC' as timestamp), $by, $because, $row_count)`,
            { voiding_id, asked: name, by, because, row_count: rows.length },
        );
    }
    return rows;
}
