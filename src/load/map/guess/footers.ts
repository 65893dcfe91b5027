import type { GuessRow, Layout } from './layout.js';
import { looksBlank } from './valueGuess.js';
import { line, scalar } from './yamlText.js';

/** Rows with so few cells filled that they are no data, such as a sum or a signature below the table. */
export function footers({ rows }: Layout): GuessRow[] {
    const filled = ({ cells }: GuessRow) => cells.filter((cell) => cell !== '').length;
    const usual = rows.map(filled).sort((a, b) => a - b)[Math.floor(rows.length / 2)] ?? 0;
    return rows.filter((row) => filled(row) <= usual / 4);
}

/** What tells the footers from the data: a column that is blank there only, else how each begins. */
export function dropLines(layout: Layout, footer: readonly GuessRow[]): string[] {
    if (footer.length === 0) return [];
    const data = layout.rows.filter((row) => !footer.includes(row));
    const index = layout.names.findIndex(
        (_, i) =>
            footer.every(({ cells }) => (cells[i] ?? '') === '') &&
            data.every(({ cells }) => cells[i] !== undefined && cells[i] !== '' && !looksBlank(cells[i])),
    );
    const places = footer
        .slice(0, 3)
        .map((row) => `line ${row.line} ${JSON.stringify(row.text.slice(0, 30))}`)
        .join(', ');
    const comment = `no data, it seems: ${places}`;
    if (index !== -1) {
        const name = scalar(layout.names[index]!);
        return [line(0, 'drop:'), line(1, `- { column: ${name}, blank: true }`, comment)];
    }
    const starts = [...new Set(footer.map(({ text }) => text.slice(0, 12)))];
    return [
        line(0, 'drop:', comment),
        ...starts.map((start) => {
            const escaped = start.replace(/[.*+?^${}()|[\]\\/]/g, (sign) => `\\${sign}`);
            return line(1, `- line: ${JSON.stringify(`^${escaped}`)}`);
        }),
    ];
}
