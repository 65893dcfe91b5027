/** Something that must hold across the columns of a row. */
export interface RowRule {
    /** Columns that it is about; the first is named as the one at fault. */
    columns: readonly string[];
    /** The rule for who writes such files. */
    rule: string;
    /** The same in SQL, `{column}` for the value; null counts as true. */
    sql: string;
    /** What to tell, behind the name of the first column; `{column}` for the cell. */
    reason: string;
}

/** `lesser` is no more than `greater`, where both are filled. */
export function atMost(lesser: string, greater: string, reason: string): RowRule {
    return {
        columns: [lesser, greater],
        rule: `${lesser} is no more than ${greater}`,
        sql: `{${lesser}} <= {${greater}}`,
        reason,
    };
}

/** Where `filled` is filled, so is `needed`. */
export function together(filled: string, needed: string, reason: string): RowRule {
    return {
        columns: [filled, needed],
        rule: `where ${filled} is filled, so is ${needed}`,
        sql: `({${filled}} is null or {${needed}} is not null)`,
        reason,
    };
}
