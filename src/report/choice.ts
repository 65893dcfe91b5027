/** What a page is made of, where it leaves a choice; nothing chosen = what the page takes by itself. */
export interface ReportChoice {
    vehicle?: string | undefined;
    chassis?: string | undefined;
    kit?: string | undefined;
    shaft?: string | undefined;
    target?: string | undefined;
    /** Second target. */
    target_2?: string | undefined;
    /** Numbers for the names of technicians. */
    anonymous?: boolean | undefined;
    /** Length of the steering arm and travel of the tie rod in one turn, both or none. */
    arm_mm?: number | undefined;
    turn_mm?: number | undefined;
}

const names = [
    'vehicle',
    'chassis',
    'kit',
    'shaft',
    'target',
    'target_2',
    'anonymous',
    'arm_mm',
    'turn_mm',
] as const;

export const namesParameter = (sql: string, name: keyof ReportChoice) =>
    new RegExp(`\\$${name}\\b`).test(sql);

/** The parameters that `sql` names (`$vehicle` and the like), null where nothing is chosen. */
export function choiceParameters(
    sql: string,
    choice: ReportChoice,
): Record<string, string | boolean | number | null> {
    const used = names.filter((name) => namesParameter(sql, name));
    return Object.fromEntries(used.map((name) => [name, choice[name] ?? null]));
}
