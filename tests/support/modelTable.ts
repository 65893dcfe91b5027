import { type Database, identifier } from '../../src/db/database.js';
import type { Cell } from '../../src/db/values.js';
import { modelFiles } from '../../src/model/sqlFile.js';

/**
 * Makes table `name` with the columns that its model file documents and fills it with `rows`; a column that no row gives
 * is null. Throws when a row names a column that the model does not have.
 */
export async function modelTable(
    db: Database,
    name: string,
    rows: readonly Record<string, Cell>[],
): Promise<void> {
    const model = modelFiles().find(({ table }) => table === name);
    if (model === undefined) throw new Error(`sql/ makes no table ${name}`);
    const known = model.columns.map((column) => column.name);
    for (const row of rows) {
        const unknown = Object.keys(row).filter((column) => !known.includes(column));
        if (unknown.length > 0) throw new Error(`table ${name} has no column ${unknown.join(', ')}`);
    }
    const columns = model.columns.map((column) => `${identifier(column.name)} ${column.type}`);
    await db.run(`create table ${identifier(name)} (${columns.join(', ')})`);
    const shape = Object.fromEntries(model.columns.map((column) => [column.name, column.type]));
    await db.run(
        `insert into ${identifier(name)} select unnest(from_json($rows::json, '${JSON.stringify([shape])}'), max_depth := 2)`,
        { rows: JSON.stringify(rows) },
    );
}
