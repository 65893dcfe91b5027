/**
 * Model tables that any client of DuckDB may rely on, beside the input tables: their names and columns stay, more may come. They are
 * stored, or views that need no function of ours; the columns are those of the head of their file in `sql/`.
 */
export const openTables = [
    'moves',
    'slopes',
    'plates',
    'present_corners',
    'gauges',
    'gauge_pairs',
    'drift',
    'settings',
    'needed_offsets',
] as const;
