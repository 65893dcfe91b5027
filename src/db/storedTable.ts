import { type Database, identifier } from './database.js';

/** The full name of a table of the database file, for a temporary view of the same name that stands before it. */
export async function storedTable(db: Database, table: string): Promise<string> {
    const [row] = await db.cells('select current_database() as name');
    return `${identifier(String(row!.name))}.main.${identifier(table)}`;
}
