import { closeSync, existsSync, openSync, realpathSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { z } from 'zod';
import { type RejectRow, rejectRow, type WrittenRejectsRow } from '../contracts/results/load.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { cannotWrite, fileExists } from '../errors/messages.js';
import { systemReason } from '../errors/systemReason.js';
import { quotedCell } from './csvCells.js';
import { loadPath } from './loadPath.js';

/** Of all loads, or of the file named like in its load; rows that a later load has answered are left out. */
const waiting = `rejects.cleared_by is null and ($file::varchar is null or rejects.file = $file or loads.path = $path)`;

const fileParameters = (file: string | undefined) => ({
    file: file ?? null,
    path: file === undefined ? null : loadPath(file),
});

/** Rows that were set aside and wait to be mended, in the order of loading and line. */
export async function listRejects(db: Database, file?: string): Promise<RejectRow[]> {
    return db.rows(
        rejectRow,
        `select rejects.file, rejects.line, rejects.column_name as column, rejects.reason, rejects.text
        from rejects
        inner join loads using (load_id)
        where ${waiting}
        order by rejects.load_id, rejects.line`,
        fileParameters(file),
    );
}

const group = z.object({
    kind: z.string(),
    header: z.string(),
    map: z.string().nullable(),
    row_count: z.int(),
});
type Group = z.infer<typeof group>;

const rowToWrite = z.object({
    load_id: z.int(),
    line: z.int(),
    file: z.string(),
    /** Several where a map makes several rows of a line. */
    problems: z.array(z.object({ column: z.string().nullable(), reason: z.string() })),
    /** Bytes to write. As text they would lose a byte order mark that they begin with: the driver drops it. */
    hex: z.string(),
});

const BATCH_ROWS = 20_000;

/** The waiting rejects of one group. */
const ofGroup = `${waiting} and rejects.kind = $kind and loads.header = $header and loads.map is not distinct from $map::varchar`;

/** The lines of one group in the order of loading and line, some thousand at a time. */
async function* linesOf(db: Database, { kind, header, map }: Group, file: string | undefined) {
    let after = { load_id: 0, line: 0 };
    for (;;) {
        const batch = await db.rows(
            rowToWrite,
            `select
                rejects.load_id,
                rejects.line,
                any_value(rejects.file) as file,
                list({'column': column_name, 'reason': reason} order by column_name, reason) as problems,
                any_value(hex(case when loads.map is null and bytes is not null then bytes else encode(text) end)) as hex
            from rejects
            inner join loads using (load_id)
            where ${ofGroup} and (rejects.load_id, rejects.line) > ($load_id::integer, $line::integer)
            group by all
            order by rejects.load_id, rejects.line
            limit ${BATCH_ROWS}`,
            { ...fileParameters(file), kind, header, map, ...after },
        );
        yield* batch;
        if (batch.length < BATCH_ROWS) return;
        after = batch.at(-1)!;
    }
}

/** Opens a file that is not there yet. */
function newFile(path: string): number {
    try {
        return openSync(path, 'wx');
    } catch (error) {
        const { code } = error as NodeJS.ErrnoException;
        throw new UserError(
            code === 'EEXIST' ? fileExists(path) : cannotWrite(path, systemReason(error)),
            'cannot_write',
        );
    }
}

const lineCount = (text: string) => text.split(/\r\n|\r|\n/).length;

async function writeGroup(db: Database, of: Group, path: string, file: string | undefined): Promise<void> {
    const rows = newFile(path);
    try {
        const reasons = newFile(reasonsFile(path));
        try {
            // A map may name another encoding; the byte order mark wins over it.
            writeFileSync(rows, `${of.map === null ? '' : '\ufeff'}${of.header}\n`);
            writeFileSync(reasons, 'line,column,reason,origin\n');
            let line = 1 + lineCount(of.header);
            for await (const row of linesOf(db, of, file)) {
                const record = Buffer.from(row.hex, 'hex');
                writeFileSync(rows, Buffer.concat([record, Buffer.from('\n')]));
                const origin = `line ${row.line} of ${row.file}`;
                for (const { column, reason } of row.problems) {
                    const cells = [String(line), column ?? '', reason, origin].map(quotedCell);
                    writeFileSync(reasons, `${cells.join(',')}\n`);
                }
                line += lineCount(record.toString('latin1'));
            }
        } finally {
            closeSync(reasons);
        }
    } finally {
        closeSync(rows);
    }
}

/** `mend.csv` -> `mend.reasons.csv` */
const reasonsFile = (path: string) => withSuffix(path, '.reasons');

function withSuffix(path: string, suffix: string): string {
    const ending = extname(path);
    return join(dirname(path), `${basename(path, ending)}${suffix}${ending}`);
}

/** One file takes all; with several headers each gets its own, named for its kind: `mend-kits.csv`, `mend-readings-2.csv`. */
function targetFiles(groups: readonly Group[], to: string): string[] {
    if (groups.length === 1) return [to];
    return groups.map(({ kind }, index) => {
        const place = groups.slice(0, index).filter((earlier) => earlier.kind === kind).length + 1;
        return withSuffix(to, place === 1 ? `-${kind}` : `-${kind}-${place}`);
    });
}

/**
 * Writes the waiting rejects to `to` as they stood in their files, below their header, so that the file can be mended and
 * loaded, with their map where they came with one; each file gets a second one beside it (`mend.reasons.csv`) that says what is wrong on which line. Rows with
 * different headers go to different files. Once a written file is loaded, its rows wait no longer: those that are still
 * wrong come back under its name. Throws a {@link UserError} where a file exists already.
 */
export async function writeRejects(db: Database, to: string, file?: string): Promise<WrittenRejectsRow[]> {
    const groups = await db.rows(
        group,
        `select rejects.kind, loads.header, loads.map, count(distinct (rejects.load_id, rejects.line)) as row_count
        from rejects
        inner join loads using (load_id)
        where ${waiting}
        group by all
        order by min(rejects.load_id)`,
        fileParameters(file),
    );
    const targets = targetFiles(groups, to);
    const existing = targets.flatMap((path) => [path, reasonsFile(path)]).find((path) => existsSync(path));
    if (existing !== undefined) throw new UserError(fileExists(existing), 'cannot_write');
    const written: WrittenRejectsRow[] = [];
    for (const [index, { kind, header, map, row_count }] of groups.entries()) {
        const path = targets[index]!;
        await writeGroup(db, groups[index]!, path, file);
        await db.run(
            `update rejects set written_to = $written_to
            from loads
            where loads.load_id = rejects.load_id and ${ofGroup}`,
            { ...fileParameters(file), kind, header, map, written_to: realpathSync(path) },
        );
        const reasons_file = reasonsFile(path);
        written.push({ file: path, reasons_file, kind, row_count, ...(map !== null && { map }) });
    }
    return written;
}
