import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';

export interface DocumentedColumn {
    name: string;
    type: string;
    unit: string | null;
    description: string;
}

/**
 * One file of `sql/`: a query, the table of that name that it fills, and its header read as documentation. With the line
 * `-- kept: as a view` its rows are not stored: other columns of what is stored already, cheap to make whenever they are read.
 */
export interface SqlFile {
    /** Subject and name, such as moves/moves.sql. */
    file: string;
    table: string;
    title: string;
    grain: string;
    isView: boolean;
    /** The query gives the rows that the function of this table in `src/stats/tables` makes those of the table from. */
    isComputed: boolean;
    /** About as many rows are computed as the query gives, too many for memory, or the function reads the rows of the query twice. */
    isLarge: boolean;
    /** Words of the header's sources, of which tables are made before it. */
    sources: readonly string[];
    /** Tables that this function is given whole besides. */
    givenWhole: readonly string[];
    readonly columns: DocumentedColumn[];
    query: string;
}

const columnLine = /^-- column (\w+) ([A-Z0-9_]+(?:\[\])*)(?: \[([^\]]+)\])?: (.+)$/;

/** Reads the header of a model file. Throws when a part of it is missing: the header is the documentation. */
function parseSqlFile(file: string, text: string): SqlFile {
    const table = /^\w+\/([a-z]\w+)\.sql$/.exec(file)?.[1];
    if (table === undefined) throw new Error(`sql/${file}: the name must be subject/table_name.sql`);
    const lines = text.split('\n').filter((line) => line.startsWith('-- '));
    const others = lines.filter((line) => !line.startsWith('-- column '));
    const find = (key: string) => {
        const start = `-- ${key}: `;
        return others.find((line) => line.startsWith(start))?.slice(start.length) ?? null;
    };
    const entry = (key: string) => {
        const found = find(key);
        if (found === null) throw new Error(`sql/${file}: the header has no line "-- ${key}: ..."`);
        return found;
    };
    for (const key of ['source', 'missing']) entry(key);
    const columns = once(() =>
        lines.flatMap((line) => {
            const match = columnLine.exec(line);
            return match === null
                ? []
                : [{ name: match[1]!, type: match[2]!, unit: match[3] ?? null, description: match[4]! }];
        }),
    );
    return {
        file,
        table,
        title: entry('title'),
        grain: entry('grain'),
        isView: find('kept') === 'as a view',
        isComputed: find('computed by')?.startsWith('src/stats/tables') ?? false,
        isLarge: find('computed by') === 'src/stats/tables, written as its rows come',
        sources: entry('source').split(';')[0]!.match(/\w+/g) ?? [],
        givenWhole: find('given whole')?.split(', ') ?? [],
        // A question needs none of them.
        get columns() {
            return columns();
        },
        query: text,
    };
}

function sqlIn(folder: string): string[] {
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

/** Folders of `sql/` by subject, in which each file is a table. */
const subjects = [
    'readings',
    'moves',
    'slopes',
    'gauges',
    'settings',
    'drift',
    'audit',
    'range',
    'stack',
    'expectations',
];

/** `files`, each after its sources, else in the order given. Throws where one is made from itself. */
function inRunOrder(files: readonly SqlFile[]): SqlFile[] {
    const byTable = new Map(files.map((file) => [file.table, file]));
    const [ordered, entered] = [new Set<SqlFile>(), new Set<SqlFile>()];
    const enter = (file: SqlFile) => {
        if (ordered.has(file)) return;
        if (entered.has(file)) throw new Error(`sql/${file.file}: it is made from itself`);
        entered.add(file);
        for (const name of file.sources) {
            const source = byTable.get(name);
            if (source !== undefined) enter(source);
        }
        ordered.add(file);
    };
    for (const file of files) enter(file);
    return [...ordered];
}

/** The model files in run order. */
export const modelFiles = once((): readonly SqlFile[] => {
    const files = subjects.flatMap((subject) => {
        const folder = join(packageRoot(), 'sql', subject);
        return sqlIn(folder).map((name) =>
            parseSqlFile(`${subject}/${name}`, readFileSync(join(folder, name), 'utf8')),
        );
    });
    return inRunOrder(files);
});

/** A file of `sql/functions`: statements, and the names of the functions that they make. */
export interface FunctionFile {
    names: readonly string[];
    query: string;
}

/** A file of `sql/questions`: the statement that makes the table macro of its name. */
export interface QuestionFile extends FunctionFile {
    file: string;
}

/** The files of `sql/functions`, in order. */
export const functionFiles = once((): readonly FunctionFile[] => {
    const folder = join(packageRoot(), 'sql', 'functions');
    return sqlIn(folder).map((file) => {
        const query = readFileSync(join(folder, file), 'utf8');
        return { names: [...query.matchAll(/^create .*?macro (\w+)/gm)].map(([, name]) => name!), query };
    });
});

/** The statements of `sql/questions`, in order: what is asked with parameters, over the model tables. */
export const questionFiles = once((): readonly QuestionFile[] => {
    const folder = join(packageRoot(), 'sql', 'questions');
    return sqlIn(folder).map((file) => ({
        file,
        names: [file.slice(4, -'.sql'.length)],
        query: readFileSync(join(folder, file), 'utf8'),
    }));
});
