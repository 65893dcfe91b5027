import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Database } from '../../src/db/database.js';

const made = new Map<() => Promise<Database>, Promise<Database>>();

/**
 * An in-memory database with invented rows for everything that report `name` reads: made once in a process, for all pages that share its
 * rows, and never closed.
 */
export async function reportDatabase(name: string): Promise<Database> {
    const file = new URL(`./pages/${name}.ts`, import.meta.url);
    if (!existsSync(fileURLToPath(file))) {
        throw new Error(
            `Add tests/support/pages/${name}.ts: its default export makes a database with rows for reports/${name}.`,
        );
    }
    const { default: make } = (await import(file.href)) as { default: () => Promise<Database> };
    if (!made.has(make)) made.set(make, make());
    const db = await made.get(make)!;
    db.close = () => undefined;
    return db;
}
