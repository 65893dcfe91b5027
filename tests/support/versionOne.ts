import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import { Database, identifier, literal } from '../../src/db/database.js';
import { packageRoot } from '../../src/packageRoot.js';

const column = z.object({ table_name: z.string(), column_name: z.string() });

/** Makes the database `file` of schema 1 with the rows of `fresh`, which lies in the same folder. */
export async function versionOne(file: string, fresh: string): Promise<void> {
    const db = await Database.open({ file, mode: 'create', paths: [dirname(fresh)] });
    try {
        await db.run(readFileSync(join(packageRoot(), 'fixtures', 'schemas', '1.sql'), 'utf8'));
        const columns = await db.rows(
            column,
            'select table_name, column_name from duckdb_columns() where not internal',
        );
        await db.run(`attach ${literal(fresh)} as fresh (read_only)`);
        for (const table of new Set(columns.map(({ table_name }) => table_name))) {
            const names = columns
                .filter(({ table_name }) => table_name === table)
                .map(({ column_name }) => identifier(column_name));
            await db.run(
                `insert into ${identifier(table)} select ${names.join(', ')} from fresh.${identifier(table)}`,
            );
        }
        await db.run("update meta set value = '1' where name = 'schema_version'");
    } finally {
        db.close();
    }
}

const table = z.object({ name: z.string(), comment: z.string().nullable() });

/** Everything in a database: tables, columns in order with types and comments, rows. */
export async function contentOf(file: string): Promise<Record<string, unknown>> {
    const db = await Database.open({ file, mode: 'read' });
    try {
        const tables = await db.rows(
            table,
            'select table_name as name, comment from duckdb_tables() order by 1',
        );
        const content: Record<string, unknown> = {};
        for (const { name, comment } of tables) {
            const columns = await db.cells(
                `select column_name, data_type, comment from duckdb_columns() where table_name = $name order by column_index`,
                { name },
            );
            const rows = await db.cells(`select columns(*)::varchar from ${identifier(name)} order by all`);
            content[name] = { comment, columns, rows };
        }
        return content;
    } finally {
        db.close();
    }
}
