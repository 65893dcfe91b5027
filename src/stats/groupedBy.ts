/** Rows of one key together, keys in the order of their first rows. */
export function groupedBy<T>(rows: readonly T[], key: (row: T) => string | number): T[][] {
    const groups = new Map<string | number, T[]>();
    for (const row of rows) {
        const group = groups.get(key(row));
        if (group === undefined) groups.set(key(row), [row]);
        else group.push(row);
    }
    return [...groups.values()];
}
