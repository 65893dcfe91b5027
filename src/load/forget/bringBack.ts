import type { ForgottenRow } from '../../contracts/results/forget.js';
import type { TableContract } from '../../contracts/table.js';
import { tables } from '../../contracts/tables.js';
import { type Database, identifier } from '../../db/database.js';
import { voidedTable } from '../../db/schema.js';
import { UserError } from '../../errors/errors.js';
import { nothingToBringBack, unknownVoiding } from '../../errors/forgetMessages.js';
import { numberedKeys, sameKey } from '../keySql.js';
import { listRows } from './rows.js';
import { listVoidings } from './voidings.js';

/** The voided rows of one kind, each with what becomes of it: a key that another row has by now is left to that row. */
async function decide(db: Database, contract: TableContract, voidingId: number): Promise<void> {
    const keys = numberedKeys(contract);
    await db.run(
        `create or replace temp table coming_back as
        select
            voided.row_id,
            held.source_file || ':' || held.source_line as taken_by
        from (
            select ${keys}, rowid as row_id from ${identifier(voidedTable(contract.kind))}
            where voiding_id = ${voidingId} and brought_back_at is null
        ) as voided
        left join (select ${keys}, source_file, source_line from ${identifier(contract.kind)}) as held
            on ${sameKey(contract, 'voided', 'held')}`,
    );
}

async function bringBackKind(
    db: Database,
    contract: TableContract,
    voidingId: number,
    by: string,
): Promise<ForgottenRow[]> {
    await decide(db, contract, voidingId);
    const voided = identifier(voidedTable(contract.kind));
    const rows = await listRows(
        db,
        contract,
        `(
            select
                held.*,
                case when taken_by is null then 'brought back' else 'key taken' end as status,
                taken_by
            from ${voided} as held
            inner join coming_back on row_id = held.rowid
        )`,
    );
    const back = 'select row_id from coming_back where taken_by is null';
    const columns = [...contract.names, 'source_file', 'source_line', 'load_id'];
    const list = columns.map(identifier).join(', ');
    await db.run(
        `insert into ${identifier(contract.kind)} (${list})
        select ${list} from ${voided} as held where held.rowid in (${back})`,
    );
    await db.run(
        `update ${voided} as held
        set brought_back_at = cast(now() at time zone 'UTC' as timestamp), brought_back_by = $by
        where held.rowid in (${back})`,
        { by },
    );
    return rows;
}

/**
 * Puts the rows of a voiding back where they were, but for those whose key another row has by now: these stay voided, and say so.
 * To be run in a transaction. Throws a {@link UserError} where there is no such voiding, or no row of it is voided still.
 */
export async function bringBack(db: Database, voidingId: number, by: string): Promise<ForgottenRow[]> {
    const voidings = await listVoidings(db);
    if (!voidings.some(({ voiding_id }) => voiding_id === voidingId)) {
        throw new UserError(
            unknownVoiding(
                voidingId,
                voidings.map(({ voiding_id }) => voiding_id),
            ),
            'unknown_name',
        );
    }
    const voided = tables.map(
        ({ kind }) =>
            `select '${kind}' as kind from ${identifier(voidedTable(kind))} where voiding_id = ${voidingId} and brought_back_at is null`,
    );
    const kinds = (await db.cells(`select distinct kind from (${voided.join(' union all ')})`)).map(
        ({ kind }) => kind,
    );
    const rows: ForgottenRow[] = [];
    for (const contract of tables.filter(({ kind }) => kinds.includes(kind)))
        rows.push(...(await bringBackKind(db, contract, voidingId, by)));
    if (rows.length === 0) throw new UserError(nothingToBringBack(voidingId), 'not_in_data');
    return rows;
}
