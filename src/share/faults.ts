import { z } from 'zod';
import { re2Class } from '../contracts/columns.js';
import { shareColumns, shareKinds } from '../contracts/share.js';
import type { Column, TableContract } from '../contracts/table.js';
import { type Database, identifier, literal } from '../db/database.js';
import type { ShareFault } from '../errors/shareMessages.js';

const controlCharacters = '[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f]';

/** SQL for what must hold of a cell that is filled. */
function filledHolds({ name, type, min, max, maxLength, pattern, words }: Column): string {
    const cell = identifier(name);
    if (type === 'choice') return `${cell} in (${words.map(literal).join(', ')})`;
    if (type !== 'text') return `${cell} between ${min} and ${max}`;
    const form =
        pattern === null
            ? `not regexp_matches(${cell}, ${literal(controlCharacters)})`
            : `regexp_full_match(${cell}, ${literal(re2Class(pattern))})`;
    return `length(${cell}) between 1 and ${maxLength} and ${form}`;
}

/** SQL condition and column for each way in which a row of `kind` may be wrong. */
function faultsOf(kind: TableContract): [string, string][] {
    const own = new Set(kind.names);
    return [
        ...kind.columns.map((column): [string, string] => [
            `not coalesce(${filledHolds(column)}, ${column.required ? 'false' : `${identifier(column.name)} is null`})`,
            column.name,
        ]),
        ...shareColumns
            .filter(({ name }) => !own.has(name))
            .map(({ name }): [string, string] => [`${identifier(name)} is not null`, name]),
        ...kind.atLeastOneOf.map((group): [string, string] => [
            `coalesce(${group.map(identifier).join(', ')}) is null`,
            group[0]!,
        ]),
    ];
}

const rowFault = z.object({
    row: z.int(),
    kind: z.string().nullable(),
    column: z.string(),
    value: z.string().nullable(),
});

/** The first row of `table` that breaks its kind; its columns are those of a shared file and `file_row_number`. */
async function faultyRow(db: Database, table: string): Promise<ShareFault | null> {
    const cases = shareKinds.map((kind) => {
        const whens = faultsOf(kind).map(([holds, column]) => `when ${holds} then ${literal(column)}`);
        return `when kind = ${literal(kind.kind)} then case ${whens.join('\n')} end`;
    });
    const values = ['kind', ...shareColumns.map(({ name }) => name)].map(
        (name) => `when ${literal(name)} then cast(${identifier(name)} as varchar)`,
    );
    const [fault] = await db.rows(
        rowFault,
        `with judged as (
            select *, case ${cases.join('\n')} else 'kind' end as fault
            from ${table}
        )
        select file_row_number + 1 as row, kind, fault as column, case fault ${values.join('\n')} end as value
        from judged
        where fault is not null
        order by row limit 1`,
    );
    return fault ?? null;
}

/** The first key that `table` has more than once. */
async function repeatedKey(db: Database, table: string): Promise<ShareFault | null> {
    for (const { kind, key } of shareKinds.filter((one) => one.key.length > 0)) {
        const columns = key.map(identifier).join(', ');
        const [found] = await db.rows(
            z.object({ row: z.int(), value: z.string() }),
            `select max(file_row_number) + 1 as row, concat_ws(', ', ${columns}) as value
            from ${table}
            where kind = ${literal(kind)}
            group by ${columns}
            having count(*) > 1
            order by row limit 1`,
        );
        if (found !== undefined) return { ...found, kind, column: key.join(', '), isAgain: true };
    }
    return null;
}

async function siteRows(db: Database, table: string): Promise<ShareFault | null> {
    const [found] = await db.cells(`select count(*) as count from ${table} where kind = 'site'`);
    return found!.count === 1
        ? null
        : { row: null, kind: 'site', column: null, value: `${found!.count} rows` };
}

/** What of `table`, rows of a shared file with their `file_row_number` from 0, breaks the contract first; null = nothing. */
export async function shareFault(db: Database, table: string): Promise<ShareFault | null> {
    return (await faultyRow(db, table)) ?? (await siteRows(db, table)) ?? (await repeatedKey(db, table));
}
