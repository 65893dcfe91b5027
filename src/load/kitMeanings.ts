import { z } from 'zod';
import { kits } from '../contracts/kits.js';
import { type Database, identifier, literal } from '../db/database.js';
import { kitMeansOther } from '../errors/forgetMessages.js';

const meaning = kits.columns.filter(({ name }) => !['kit', 'chassis', 'bearing', 'note'].includes(name));

/** What the row of a kit says, by column, blanks as what they mean; the row of the chassis stands before that of any chassis. */
function cells(own: string, common: string): string {
    const fields = meaning.map(({ name, blankMeans }) => {
        const column = identifier(name);
        const cell = `case when ${own}.kit is not null then ${own}.${column} else ${common}.${column} end`;
        return `${literal(name)}: ${blankMeans === null ? cell : `coalesce(${cell}, ${blankMeans})`}`;
    });
    return `case when ${own}.kit is not null or ${common}.kit is not null then {${fields.join(', ')}} end`;
}

const changed = z.object({
    kit: z.string(),
    columns: z.array(z.string()),
    is_known: z.boolean(),
    reading_count: z.int(),
});

/**
 * Notes what kits say now: a change of a kit changes what stored marks mean. Called later, what it returns gives a sentence for each kit
 * that says something else, or nothing any more, of readings that were there; those with measured offsets stand.
 */
export async function kitMeanings(db: Database): Promise<() => Promise<string[]>> {
    await db.run('create or replace temp table kits_before as from kits');
    const [before] = await db.rows(
        z.object({ last: z.int() }),
        'select coalesce(max(load_id), 0) as last from loads',
    );
    return async () => {
        const differing = meaning.map(
            ({ name }) =>
                `case when meant.${identifier(name)} is distinct from means.${identifier(name)} then ${literal(name)} end`,
        );
        const rows = await db.rows(
            changed,
            `with
            placed as (
                select kit, chassis, count(*) as reading_count
                from readings
                where kit is not null
                    and load_id <= ${before!.last}
                    and (offset_out_mm is null or offset_aft_mm is null)
                    and coalesce(plate_index, mark_1, mark_2) is not null
                group by all
            ),
            compared as (
                select
                    placed.kit,
                    reading_count,
                    ${cells('own_before', 'common_before')} as meant,
                    ${cells('own', 'common')} as means
                from placed
                left join kits_before as own_before on own_before.kit = placed.kit and own_before.chassis = placed.chassis
                left join kits_before as common_before on common_before.kit = placed.kit and common_before.chassis is null
                left join kits as own on own.kit = placed.kit and own.chassis = placed.chassis
                left join kits as common on common.kit = placed.kit and common.chassis is null
            )
            select
                kit,
                list_sort(list_distinct(flatten(list(list_filter([${differing.join(', ')}], lambda name: name is not null))))) as columns,
                bool_and(means is not null) as is_known,
                cast(sum(reading_count) as bigint) as reading_count
            from compared
            where meant is not null and meant is distinct from means
            group by kit
            order by kit`,
        );
        return rows.map(({ kit, columns, is_known, reading_count }) =>
            kitMeansOther(kit, is_known ? columns : null, reading_count),
        );
    };
}
