import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Database } from '../../src/db/database.js';

/** An in-memory database with invented rows for everything that report `name` reads. */
export async function reportDatabase(name: string): Promise<Database> {
    const file = new URL(`./pages/${name}.ts`, import.meta.url);
    if (!existsSync(fileURLToPath(file))) {
        throw new Error(
            `Add tests/support/pages/${name}.ts: its default export makes a database with rows for reports/${name}.`,
        );
    }
    return ((await import(file.href)) as { default: () => Promise<Database> }).default();
}
