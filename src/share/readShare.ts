import { z } from 'zod';
import { SHARE_VERSION, shareColumns } from '../contracts/share.js';
import { type Database, identifier } from '../db/database.js';
import { sqlType } from '../db/schema.js';
import { UserError } from '../errors/errors.js';
import { brokenShare, notAShare, otherShareVersion } from '../errors/messages.js';
import { shareFault } from './faults.js';

const describedColumn = z.object({ name: z.string(), type: z.string() });
const wantedColumns = [
    'kind VARCHAR',
    ...shareColumns.map((column) => `${column.name} ${sqlType(column).toUpperCase()}`),
];

/** Asks the Parquet reader; what it cannot read is the file's fault. */
async function asking<T>(file: string, ask: () => Promise<T>): Promise<T> {
    try {
        return await ask();
    } catch (error) {
        const text = (error as Error).message.split('\n')[0]!;
        if (
            !/^(Invalid Input|IO|Conversion|Serialization|Binder|Invalid|Not implemented|Out of Range)[\w ]* Error:/i.test(
                text,
            )
        )
            throw error;
        throw new UserError(notAShare(file, text.replace(/^[\w ]*Error: /, '').replace(/\.$/, '')));
    }
}

async function versionOf(db: Database, file: string): Promise<string | null> {
    const rows = await asking(file, () =>
        db.rows(
            z.object({ value: z.string() }),
            `select decode(value) as value from parquet_kv_metadata($file) where key = encode('strutmark_share')`,
            { file },
        ),
    );
    return rows[0]?.value ?? null;
}

async function requireShape(db: Database, file: string): Promise<void> {
    const version = await versionOf(db, file);
    if (version === null) throw new UserError(notAShare(file, 'it does not say that it is one'));
    if (version !== String(SHARE_VERSION)) {
        throw new UserError(otherShareVersion(file, version, SHARE_VERSION));
    }
    const columns = await asking(file, () =>
        db.rows(
            describedColumn,
            'select column_name as name, column_type as type from (describe select * from read_parquet($file))',
            { file },
        ),
    );
    const found = columns.map(({ name, type }) => `${name} ${type}`);
    const other = found.find((column, i) => column !== wantedColumns[i]) ?? wantedColumns[found.length];
    if (other !== undefined) throw new UserError(notAShare(file, `its columns differ from ${other} on`));
}

/**
 * Adds the rows of the shared file `path`, called `file` in messages, to table `shared`, and returns its site. Throws a
 * {@link UserError} where it is no shared file of this version or breaks the contract.
 */
export async function readShare(db: Database, file: string, path: string): Promise<string> {
    await requireShape(db, path);
    await asking(file, () =>
        db.run(
            'create or replace temp table incoming as select * from read_parquet($file, file_row_number = true)',
            { file: path },
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
