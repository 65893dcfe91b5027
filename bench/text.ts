import { reached } from './line.js';
import type { Goal, Line } from './stage.js';
import type { Ratio } from './summary.js';

/** `value` with about three digits; a dash where there is none. */
function number(value: number | null): string {
    if (value === null || !Number.isFinite(value)) return '-';
    const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2;
    return value.toFixed(value !== 0 && Math.abs(value) < 0.1 ? 3 : digits);
}

function ratio(value: Ratio | null): string {
    return value === null ? '-' : `${number(value.median)} (${number(value.low)}..${number(value.high)})`;
}

const asked: Record<Goal['of'], string> = {
    wall_ms: 'ms',
    wall_ratio: 'x',
    peak_mb: 'MB',
    figure: '',
};

function goalText(line: Line, goal: Goal): string {
    const met = reached(line, goal);
    const bound = goal.at_most === undefined ? `>= ${goal.at_least}` : `<= ${goal.at_most}`;
    const unit = goal.of === 'figure' ? (line.figure?.unit ?? '') : asked[goal.of];
    return `${bound} ${unit}${met === null ? '' : met ? ' met' : ' missed'}`;
}

const columns: readonly { title: string; left?: true; value: (line: Line) => string }[] = [
    { title: '', left: true, value: ({ what }) => what },
    { title: 'runs', value: ({ run_count }) => (run_count === 0 ? '-' : String(run_count)) },
    { title: 'wall ms', value: ({ wall_ms }) => number(wall_ms) },
    { title: 'CPU ms', value: ({ cpu_ms }) => number(cpu_ms) },
    { title: 'peak MB', value: ({ peak_mb }) => number(peak_mb) },
    { title: 'wall ratio', value: ({ wall_ratio }) => ratio(wall_ratio) },
    { title: 'CPU ratio', value: ({ cpu_ratio }) => ratio(cpu_ratio) },
    {
        title: 'figure',
        value: ({ figure }) => (figure === null ? '-' : `${number(figure.value)} ${figure.unit}`),
    },
    { title: 'goal', left: true, value: (line) => line.goals.map((goal) => goalText(line, goal)).join(', ') },
];

/** The lines of one stage as a table under its title: medians over the runs, ratios over the rounds with least and greatest. */
export function stageText(title: string, lines: readonly Line[]): string {
    const rows = [
        columns.map((column) => column.title),
        ...lines.map((line) => columns.map(({ value }) => value(line))),
    ];
    const widths = columns.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)));
    const table = rows.map((row) =>
        row
            .map((cell, i) => (columns[i]!.left ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!)))
            .join('  ')
            .trimEnd(),
    );
    const notes = new Map<string, string[]>();
    for (const { what, note } of lines) {
        if (note !== null) notes.set(note, [...(notes.get(note) ?? []), what]);
    }
    const noted = [...notes].map(([note, whats]) => `  ${whats.join('; ')}: ${note}`);
    return [title, ...table, ...noted].join('\n');
}
