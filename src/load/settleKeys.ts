import { z } from 'zod';
import { type Database, identifier, literal } from '../db/database.js';
import { historyTable } from '../db/schema.js';
import { otherContent, otherContentHere } from '../errors/loadMessages.js';
import type { FileLoad } from './fileLoad.js';
import { contentHash, contentNames, keyHash, numberedKeys } from './keySql.js';
import type { Piece } from './spool.js';
import { spooledTexts } from './spoolSql.js';

/** What became of the rows of a file whose key was taken already. */
interface KeyCounts {
    duplicate: number;
    conflict: number;
    replaced: number;
    /** Of the replaced rows, those with the same content. */
    unchanged: number;
}

/**
 * Query for the hashes of the keys that stand on several rows once the rows of load `loadId` and later are in the table. Of the stored
 * rows only those with a first key column of the file are hashed, which a small file into a large table is quick by.
 */
export function clashes({
    contract,
    loadId,
    intoEmptyTable,
}: Pick<FileLoad, 'contract' | 'loadId' | 'intoEmptyTable'>): string {
    const table = identifier(contract.kind);
    const hash = keyHash(contract);
    const first = identifier(contract.key[0]!);
    const withinFile = `select ${hash} as key_hash from ${table} where load_id >= ${loadId} group by key_hash having count(*) > 1`;
    if (intoEmptyTable) return withinFile;
    return `${withinFile}
        union
        select ${hash} from ${table}
        where load_id < ${loadId}
            and ${first} in (select ${first} from ${table} where load_id >= ${loadId})
            and ${hash} in (select ${hash} from ${table} where load_id >= ${loadId})`;
}

/**
 * Decides each row of a clashing key. A stored row stands before those of the file, with --replace behind them; among
 * rows of the file the first line stands first. The first one is kept: the same content again is a duplicate, other
 * content a conflict, and with --replace a stored row with other content is superseded. A stored row of the load that the file
 * stands in for is superseded in any case.
 */
async function decide(db: Database, { contract, loadId, replace, insteadOf }: FileLoad): Promise<void> {
    const keyNames = contract.key.map((_, i) => `key_${i}`).join(', ');
    await db.run(
        `create or replace temp table outcome as
        with
        member as (
            select
                ${numberedKeys(contract)},
                rowid as row_id,
                load_id,
                source_file,
                source_line,
                load_id = ${loadId} as fresh,
                ${contentHash(contract)} as content
            from ${identifier(contract.kind)}
            where ${keyHash(contract)} in (select key_hash from clash)
        ),
        met as (
            select
                *,
                max(case when not fresh then content end) over (partition by ${keyNames}) as stored_content,
                coalesce(max(case when not fresh then load_id end) over (partition by ${keyNames}) = ${insteadOf}, false) as stands_in
            from member
        ),
        ranked as (
            select
                *,
                row_number() over standing as place,
                first_value(row_id) over standing as kept_row_id,
                first_value(load_id) over standing as kept_load_id,
                first_value(source_file) over standing as kept_file,
                first_value(source_line) over standing as kept_line,
                first_value(content) over standing as kept_content
            from met
            window standing as (partition by ${keyNames} order by (fresh = (${replace} or stands_in)) desc, source_line, row_id)
        )
        select
            row_id,
            kept_row_id,
            kept_load_id,
            kept_file,
            kept_line,
            case
                when not fresh and stored_content <> kept_content then 'superseded'
                when not fresh and stands_in then 'unchanged'
                when not fresh then 'stays'
                when place > 1 and content <> kept_content then 'conflict'
                when place > 1 or (content = stored_content and not stands_in) then 'duplicate'
                else 'taken'
            end as status
        from ranked`,
    );
}

async function rejectConflicts(db: Database, load: FileLoad, pieces: readonly Piece[]): Promise<void> {
    const { contract, loadId, file, names } = load;
    const differing = contentNames(contract).map((name) => {
        const column = identifier(name);
        return `case when fresh.${column} is distinct from kept.${column} then ${literal(name)} end`;
    });
    const reason = `case when kept_load_id = ${loadId} then ${literal(otherContentHere())} else ${literal(otherContent())} end`;
    await db.run(
        `insert into rejects
        with
        texts as (${spooledTexts(pieces, names)}),
        conflict as (
            select
                fresh.source_line as line,
                outcome.kept_load_id,
                outcome.kept_file,
                outcome.kept_line,
                list_filter([${differing.join(', ')}], lambda name: name is not null) as columns
            from outcome
            inner join ${identifier(contract.kind)} as fresh
                on fresh.rowid = outcome.row_id
            inner join ${identifier(contract.kind)} as kept
                on kept.rowid = outcome.kept_row_id
            where outcome.status = 'conflict'
        )
        select
            ${loadId},
            ${literal(file)},
            ${literal(contract.kind)},
            line,
            columns[1],
            replace(replace(replace(${reason}, '{columns}', array_to_string(columns, ', ')), '{line}', cast(kept_line as varchar)), '{file}', kept_file),
            texts.text,
            null,
            null,
            null
        from conflict
        inner join texts using (line)`,
    );
}

function withStatus(...statuses: string[]): string {
    return `held.rowid in (select row_id from outcome where status in (${statuses.map(literal).join(', ')}))`;
}

/**
 * Makes keys unique again after the rows of a file were inserted: duplicates leave the table, conflicts go to the
 * rejects, and with --replace the rows that were superseded go to the history.
 */
export async function settleKeys(db: Database, load: FileLoad, pieces: readonly Piece[]): Promise<KeyCounts> {
    const first = await db.cells(`select 1 from (${clashes(load)}) limit 1`);
    if (first.length === 0) return { duplicate: 0, conflict: 0, replaced: 0, unchanged: 0 };
    await db.run(`create or replace temp table clash as ${clashes(load)}`);
    const held = `${identifier(load.contract.kind)} as held`;
    await decide(db, load);
    const counts = await db.rows(
        z.object({ status: z.string(), count: z.int() }),
        'select status, count(*) as count from outcome group by status',
    );
    const count = (status: string) => counts.find((row) => row.status === status)?.count ?? 0;
    if (count('conflict') > 0) await rejectConflicts(db, load, pieces);
    const replaced = count('superseded') + count('unchanged');
    if (replaced > 0) {
        const history = identifier(historyTable(load.contract.kind));
        await db.run(
            `insert into ${history} by name select held.*, ${load.loadId} as superseded_by from ${held} where ${withStatus('superseded', 'unchanged')}`,
        );
    }
    const gone = withStatus('duplicate', 'conflict', 'superseded', 'unchanged');
    await db.run(`delete from ${held} where ${gone}`);
    return {
        duplicate: count('duplicate'),
        conflict: count('conflict'),
        replaced,
        unchanged: count('unchanged'),
    };
}
