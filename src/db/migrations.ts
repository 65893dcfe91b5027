/** What is done to a database of one schema to bring it to the next. */
interface Migration {
    to: number;
    /** Statements, run in the transaction of all migrations; new columns are put in their place in the end. */
    statements: readonly string[];
}

function addColumns(table: string, columns: readonly string[]): string[] {
    return columns.map((column) => `alter table ${table} add column if not exists ${column}`);
}

/** In order, a step each. A change of the tables of `schema.ts` is one more entry here, but for a new column of the contract that may be blank. */
export const migrations: readonly Migration[] = [
    {
        // Databases of version 1 may hold some of these: they came before versions were counted.
        to: 2,
        statements: [
            ...addColumns('loads', ['map varchar', 'source_row_count integer', 'dropped_row_count integer']),
            ...['hardware', 'hardware_history'].flatMap((table) =>
                addColumns(table, ['height_tol_mm double']),
            ),
            ...['shafts', 'shafts_history'].flatMap((table) =>
                addColumns(table, [
                    'thread_pitch_mm double',
                    'shoulder_tol_mm double',
                    'thread_tol_mm double',
                ]),
            ),
        ],
    },
    {
        // Tables that are missing are made whatever the step: voidings, and the voided rows of each kind.
        to: 3,
        statements: [],
    },
];

/** Version of the tables that this program reads and writes. */
export const SCHEMA_VERSION = migrations.at(-1)!.to;
