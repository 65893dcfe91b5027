import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Database } from '../db/database.js';
import { packageRoot } from '../packageRoot.js';
import { once } from './sqlFile.js';

/** What a text of SQL names: tables and views, its own CTEs left out, and functions; in lower case, sorted. */
export interface References {
    tables: readonly string[];
    functions: readonly string[];
}

/** File of the references of the texts of this package, by {@link textKey}: parsing takes longer than most answers. */
export const REFERENCES_FILE = join('dist', 'references.json');

/** Key of a text in {@link REFERENCES_FILE}: a hash, so that an entry never speaks of another text. */
export function textKey(text: string): string {
    return createHash('sha256').update(text).digest('base64url');
}

/** Statements that make macros, as the queries that these macros are. */
function asQueries(text: string): string {
    return text.replace(
        /^create or replace temp macro \w+\s*\([^)]*\)\s+as\b(\s+table\b)?/gm,
        (_, table: string | undefined) => (table === undefined ? 'select ' : ''),
    );
}

type Json = Readonly<Record<string, unknown>>;

/** Walks a parsed query. `hidden`: names of CTEs that can be seen from `node`. */
function collect(
    node: unknown,
    hidden: ReadonlySet<string>,
    tables: Set<string>,
    functions: Set<string>,
): void {
    if (Array.isArray(node)) {
        for (const item of node) collect(item, hidden, tables, functions);
        return;
    }
    if (typeof node !== 'object' || node === null) return;
    const { type, table_name, function_name, cte_map, ...rest } = node as Json;
    if (type === 'BASE_TABLE') {
        const name = String(table_name).toLowerCase();
        if (!hidden.has(name)) tables.add(name);
    }
    if (typeof function_name === 'string') functions.add(function_name.toLowerCase());
    // A table macro that reads query_table(...) is given the names of tables as text.
    if (type === 'TABLE_FUNCTION') {
        for (const child of (rest.function as { children: { value?: { value?: unknown } }[] }).children) {
            if (typeof child.value?.value === 'string') tables.add(child.value.value.toLowerCase());
        }
    }
    const ctes =
        (cte_map as { map: { key: string; value: { query: { node: Json } } }[] } | undefined)?.map ?? [];
    const visible = new Set(hidden);
    for (const { key, value } of ctes) {
        const name = key.toLowerCase();
        const isRecursive = value.query.node.type === 'RECURSIVE_CTE_NODE';
        collect(value, isRecursive ? new Set(visible).add(name) : visible, tables, functions);
        visible.add(name);
    }
    for (const value of Object.values(rest)) collect(value, visible, tables, functions);
}

/** The statements of a query, or of statements that make macros, as DuckDB's parser reads them; nothing that they name has to be there. */
export async function parsedStatements(db: Database, text: string): Promise<unknown> {
    const [row] = await db.cells('select json_serialize_sql($text::varchar) as tree', {
        text: asQueries(text),
    });
    const tree = JSON.parse(String(row!.tree)) as {
        error: boolean;
        error_message?: string;
        statements: unknown;
    };
    if (tree.error) throw new Error(`${tree.error_message}\n${text}`);
    return tree.statements;
}

/** What a text names, read by DuckDB's parser. */
export async function parseReferences(db: Database, text: string): Promise<References> {
    const tables = new Set<string>();
    const functions = new Set<string>();
    collect(await parsedStatements(db, text), new Set(), tables, functions);
    return { tables: [...tables].sort(), functions: [...functions].sort() };
}

const shipped = once(() => {
    const file = join(packageRoot(), REFERENCES_FILE);
    const text = existsSync(file) ? readFileSync(file, 'utf8') : '{}';
    return JSON.parse(text) as Partial<Record<string, References>>;
});

const read = new Map<string, References>();

/** What `text` names: a query, statements that make macros, or the name of a table or question alone. */
export async function referencesOf(db: Database, text: string): Promise<References> {
    if (/^\w+$/.test(text)) return { tables: [text], functions: [text] };
    const known = read.get(text) ?? shipped()[textKey(text)] ?? (await parseReferences(db, text));
    read.set(text, known);
    return known;
}
