import { type VoidingRow, voidingRow } from '../../contracts/results/forget.js';
import { tables } from '../../contracts/tables.js';
import { type Database, identifier } from '../../db/database.js';
import { voidedTable } from '../../db/schema.js';

/** Every voiding, in order, with how many of its rows were brought back. */
export async function listVoidings(db: Database): Promise<VoidingRow[]> {
    const voided = tables.map(
        ({ kind }) =>
            `select voiding_id, count(*) as brought_back_count from ${identifier(voidedTable(kind))}
            where brought_back_at is not null group by voiding_id`,
    );
    return db.rows(
        voidingRow,
        `with back as (
            select voiding_id, cast(sum(brought_back_count) as bigint) as brought_back_count
            from (${voided.join(' union all ')})
            group by voiding_id
        )
        select
            voiding_id,
            asked,
            left(cast(voided_at as varchar), 19) as voided_at,
            voided_by,
            because,
            row_count,
            coalesce(brought_back_count, 0) as brought_back_count
        from voidings
        left join back using (voiding_id)
        order by voiding_id`,
    );
}
