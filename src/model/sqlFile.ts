import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';

export interface DocumentedColumn {
    name: string;
    type: string;
    unit: string | null;
    description: string;
}

/** One file of `sql/`: a query, the table of that name that it fills, and its header read as documentation. */
export interface SqlFile {
    file: string;
    table: string;
    title: string;
    grain: string;
    columns: DocumentedColumn[];
    query: string;
}

const columnLine = /^-- column (\w+) ([A-Z0-9_]+(?:\[\])*)(?: \[([^\]]+)\])?: (.+)$/;

/** Reads the header of a model file. Throws when a part of it is missing: the header is the documentation. */
export function parseSqlFile(file: string, text: string): SqlFile {
    const table = /^\d{3}_(\w+)\.sql$/.exec(file)?.[1];
    if (table === undefined) throw new Error(`sql/${file}: the name must be NNN_table_name.sql`);
    const lines = text.split('\n').filter((line) => line.startsWith('-- '));
    const entry = (key: string) => {
        const line = lines.find((candidate) => candidate.startsWith(`-- ${key}: `));
        if (line === undefined) throw new Error(`sql/${file}: the header has no line "-- ${key}: ..."`);
        return line.slice(key.length + 5);
    };
    for (const key of ['source', 'missing']) entry(key);
    const columns = lines.flatMap((line) => {
        const match = columnLine.exec(line);
        return match === null
            ? []
            : [{ name: match[1]!, type: match[2]!, unit: match[3] ?? null, description: match[4]! }];
    });
    return { file, table, title: entry('title'), grain: entry('grain'), columns, query: text };
}

function numbered(folder: string): string[] {
    return readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .sort();
}

/** The model files in run order. */
export function modelFiles(): SqlFile[] {
    const folder = join(packageRoot(), 'sql');
    return numbered(folder).map((file) => parseSqlFile(file, readFileSync(join(folder, file), 'utf8')));
}

/** The statements of `sql/functions`, in order. */
export function functionStatements(): string[] {
    const folder = join(packageRoot(), 'sql', 'functions');
    return numbered(folder).map((file) => readFileSync(join(folder, file), 'utf8'));
}

/** The statements of `sql/questions`, in order: what is asked with parameters, over the model tables. */
export function questionStatements(): string[] {
    const folder = join(packageRoot(), 'sql', 'questions');
    return numbered(folder).map((file) => readFileSync(join(folder, file), 'utf8'));
}
