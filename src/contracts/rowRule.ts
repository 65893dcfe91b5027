/** Values of a row by column, blank as null. */
export type RowValues = Readonly<Record<string, string | number | null>>;

/** Something that must hold across the columns of a row, said twice: for a schema and for SQL. Tests hold both to each other. */
export interface RowRule {
    /** Columns that it is about; the first is named as the one at fault. */
    columns: readonly string[];
    /** The rule for who writes such files. */
    rule: string;
    /** False where the row breaks it. */
    holds: (row: RowValues) => boolean;
    /** The same for SQL, `{column}` for the value; null counts as true. */
    sql: string;
    /** What to tell, behind the name of the first column; `{column}` for the cell. */
    reason: string;
}

const numberOf = (row: RowValues, column: string) => row[column] as number | null;

/** `lesser` is no more than `greater`, where both are filled. */
export function atMost(lesser: string, greater: string, reason: string): RowRule {
    return {
        columns: [lesser, greater],
        rule: `${lesser} is no more than ${greater}`,
        holds: (row) => {
            const [low, high] = [numberOf(row, lesser), numberOf(row, greater)];
            return low === null || high === null || low <= high;
        },
        sql: `{${lesser}} <= {${greater}}`,
        reason,
    };
}

/** Where `filled` is filled, so is `needed`. */
export function together(filled: string, needed: string, reason: string): RowRule {
    return {
        columns: [filled, needed],
        rule: `where ${filled} is filled, so is ${needed}`,
        holds: (row) => row[filled] == null || row[needed] != null,
        sql: `({${filled}} is null or {${needed}} is not null)`,
        reason,
    };
}
