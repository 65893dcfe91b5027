import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';
import type { Named } from './dependencies.js';

export interface DocumentedColumn {
    name: string;
    type: string;
    unit: string | null;
    description: string;
}

/** Whom a row of a table over the whole field concerns: the chassis of the rows of `table` with the same values of `key`. */
export interface Concerns {
    table: string;
    key: readonly string[];
    /** A row with NULL in the key concerns all. */
    nullIsAll: boolean;
}

/**
 * One file of `sql/`: a query, the table of that name that it fills, and its header read as documentation. With the line
 * `-- kept: as a view` its rows are not stored: other columns of what is stored already, cheap to make whenever they are read.
 */
export interface SqlFile {
    file: string;
    table: string;
    title: string;
    grain: string;
    /** The rows of one chassis come from those of the same chassis alone, so that they can be made anew without the others. */
    byChassis: boolean;
    /** The rows of one car come from those of the same car, of its chassis where a table names no cars, and so on. */
    byVehicle: boolean;
    isView: boolean;
    concerns: Concerns | null;
    columns: DocumentedColumn[];
    query: string;
}

const concernsLine = /^(\w+) by ([\w, ]+?)(; NULL concerns all)?$/;

const columnLine = /^-- column (\w+) ([A-Z0-9_]+(?:\[\])*)(?: \[([^\]]+)\])?: (.+)$/;

function concernsOf(file: string, text: string | null): Concerns | null {
    if (text === null) return null;
    const match = concernsLine.exec(text);
    if (match === null) throw new Error(`sql/${file}: concerns must read TABLE by COLUMN, COLUMN`);
    return { table: match[1]!, key: match[2]!.split(', '), nullIsAll: match[3] !== undefined };
}

/** Reads the header of a model file. Throws when a part of it is missing: the header is the documentation. */
export function parseSqlFile(file: string, text: string): SqlFile {
    const table = /^\d{3}_(\w+)\.sql$/.exec(file)?.[1];
    if (table === undefined) throw new Error(`sql/${file}: the name must be NNN_table_name.sql`);
    const lines = text.split('\n').filter((line) => line.startsWith('-- '));
    const find = (key: string) =>
        lines.find((line) => line.startsWith(`-- ${key}: `))?.slice(key.length + 5) ?? null;
    const entry = (key: string) => {
        const found = find(key);
        if (found === null) throw new Error(`sql/${file}: the header has no line "-- ${key}: ..."`);
        return found;
    };
    for (const key of ['source', 'missing']) entry(key);
    const columns = lines.flatMap((line) => {
        const match = columnLine.exec(line);
        return match === null
            ? []
            : [{ name: match[1]!, type: match[2]!, unit: match[3] ?? null, description: match[4]! }];
    });
    const part = find('part');
    const needed = { chassis: ['chassis'], vehicle: ['chassis', 'vehicle'] }[part ?? ''];
    if (part !== null && needed === undefined)
        throw new Error(`sql/${file}: part must be chassis or vehicle`);
    for (const column of needed ?? []) {
        if (columns.some(({ name }) => name === column)) continue;
        throw new Error(`sql/${file}: the table has no column ${column} to be cut by`);
    }
    const isView = find('kept') === 'as a view';
    const concerns = concernsOf(file, find('concerns'));
    return {
        file,
        table,
        title: entry('title'),
        grain: entry('grain'),
        byChassis: part !== null,
        byVehicle: part === 'vehicle',
        isView,
        concerns,
        columns,
        query: text,
    };
}

function numbered(folder: string): string[] {
    return readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .sort();
}

/** `read`, done at the first call. */
export function once<T>(read: () => T): () => T {
    let found: T | undefined;
    return () => {
        found ??= read();
        return found;
    };
}

/** The model files in run order. */
export const modelFiles = once((): readonly SqlFile[] => {
    const folder = join(packageRoot(), 'sql');
    return numbered(folder).map((file) => parseSqlFile(file, readFileSync(join(folder, file), 'utf8')));
});

/** A file of `sql/functions`: statements, and the names of the functions that they make. */
export interface FunctionFile {
    names: readonly string[];
    query: string;
}

/** The files of `sql/functions`, in order. */
export const functionFiles = once((): readonly FunctionFile[] => {
    const folder = join(packageRoot(), 'sql', 'functions');
    return numbered(folder).map((file) => {
        const query = readFileSync(join(folder, file), 'utf8');
        return { names: [...query.matchAll(/^create .*?macro (\w+)/gm)].map(([, name]) => name!), query };
    });
});

/** The statements of `sql/questions`, in order: what is asked with parameters, over the model tables. */
export const questionFiles = once((): readonly Named[] => {
    const folder = join(packageRoot(), 'sql', 'questions');
    return numbered(folder).map((file) => ({
        file,
        name: file.slice(4, -'.sql'.length),
        query: readFileSync(join(folder, file), 'utf8'),
    }));
});
