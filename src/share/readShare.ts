import { z } from 'zod';
import { SHARE_VERSION, shareColumns } from '../contracts/share.js';
import { type Database, identifier } from '../db/database.js';
import { sqlType } from '../db/schema.js';
import { UserError } from '../errors/errors.js';
import { isInterrupted } from '../errors/exhausted.js';
import { brokenShare, notAShare, otherShareVersion } from '../errors/messages.js';
import { shareFault } from './faults.js';

/** A shared file, and a copy of it under a name that is no pattern to SQL. */
export interface ShareCopy {
    file: string;
    path: string;
}

const describedColumn = z.object({ name: z.string(), type: z.string() });
const wantedColumns = [
    'kind VARCHAR',
    ...shareColumns.map((column) => `${column.name} ${sqlType(column).toUpperCase()}`),
];

/** Asks the Parquet reader about the copy `path` of `file`; what it cannot read is the file's fault. */
async function asking<T>({ file, path }: ShareCopy, ask: () => Promise<T>): Promise<T> {
    try {
        return await ask();
    } catch (error) {
        const text = (error as Error).message.split('\n')[0]!;
        if (isInterrupted(error)) throw error;
        const reason = text.replace(/^[\w ]*Error: /i, '').replaceAll(path, file);
        throw new UserError(notAShare(file, reason.replace(/\.$/, '')));
    }
}

async function versionOf(db: Database, copy: ShareCopy): Promise<string | null> {
    const rows = await asking(copy, () =>
        db.rows(
            z.object({ value: z.string() }),
            `select decode(value) as value from parquet_kv_metadata($file) where key = encode('strutmark_share')`,
            { file: copy.path },
        ),
    );
    return rows[0]?.value ?? null;
}

async function requireShape(db: Database, copy: ShareCopy): Promise<void> {
    const { file, path } = copy;
    const version = await versionOf(db, copy);
    if (version === null) throw new UserError(notAShare(file, 'it does not say that it is one'));
    if (version !== String(SHARE_VERSION)) {
        throw new UserError(otherShareVersion(file, version, SHARE_VERSION));
    }
    const columns = await asking(copy, () =>
        db.rows(
            describedColumn,
            'select column_name as name, column_type as type from (describe select * from read_parquet($path))',
            { path },
        ),
    );
    const found = columns.map(({ name, type }) => `${name} ${type}`);
    const other = found.find((column, i) => column !== wantedColumns[i]) ?? wantedColumns[found.length];
    if (other !== undefined) throw new UserError(notAShare(file, `its columns differ from ${other} on`));
}

/**
 * Adds the rows of a shared file to table `shared`, and returns its site. Throws a {@link UserError} where it is no shared file of
 * this version or breaks the contract.
 */
export async function readShare(db: Database, copy: ShareCopy): Promise<string> {
    const { file, path } = copy;
    await requireShape(db, copy);
    await asking(copy, () =>
        db.run(
            'create or replace temp table incoming as select * from read_parquet($path, file_row_number = true)',
            { path },
        ),
    );
    const fault = await shareFault(db, 'incoming');
    if (fault !== null) throw new UserError(brokenShare(file, fault));
    const [row] = await db.rows(
        z.object({ site: z.string() }),
        "select site from incoming where kind = 'site'",
    );
    const columns = shareColumns
        .filter(({ name }) => name !== 'site')
        .map(({ name }) => identifier(name))
        .join(', ');
    await db.run(
        `insert into shared by name
        select kind, $site as site, ${columns} from incoming`,
        row!,
    );
    return row!.site;
}
