import pc from 'picocolors';
import { shortened, visibleJson, visibleText } from '../units/visibleText.js';
import type { GlobalOptions } from './command.js';

/** Latin letters, digits and the usual punctuation, each one column wide. */
const plain = /^[\x20-\x7e\xa0-\xac\xae-\u02ff\u2010-\u2027\u2212]*$/;

export type Field = string | number | boolean | null | undefined | readonly string[];

/** A field of a row that a cell can show. */
type FieldName<R> = { [K in keyof R]: R[K] extends Field ? K : never }[keyof R];

/** A column of the table that people get: a field of the row, or what is made of it; `digits` for numbers, right-aligned. */
export interface TableColumn<R> {
    title: string;
    value: FieldName<R> | ((row: R) => Field);
    digits?: number;
    /**
     * On a terminal too narrow for all columns, those with the lowest number go first, equal ones together; those without stay.
     * Where no column of a table has one, columns go from the last to the third, a "to" with the column before it.
     */
    drop?: number;
}

/** Rows of another shape beside those of the command: a field of the JSON object, a further table for people. */
export interface Part {
    name: string;
    title: string;
    rows: readonly object[];
    text: (colours: Colours, width?: number) => Promise<string>;
}

/** A {@link Part} of `rows`, shown by `columns`. */
export function part<R extends object>(
    name: string,
    title: string,
    rows: readonly R[],
    columns: readonly TableColumn<R>[],
): Part {
    return { name, title, rows, text: (colours, width) => table(rows, columns, colours, width) };
}

type Colours = ReturnType<typeof pc.createColors>;

/** Colours for a terminal; none elsewhere, whatever the environment says, nor with `NO_COLOR`. */
export function coloursOf(stream: { isTTY?: boolean }): Colours {
    return pc.createColors(stream.isTTY === true && pc.isColorSupported);
}

/** What goes with the table of a command. */
interface Layout {
    parts?: readonly Part[];
    /** How many of the notes are the answer itself, and come before the table. */
    lead?: number;
}

type Stream = NodeJS.WritableStream & { isTTY?: boolean; columns?: number | undefined };

/** Where a command's words go: results to stdout, everything else to stderr. */
export class Output {
    readonly #command: string;
    readonly #options: GlobalOptions;
    readonly #stdout: Stream;
    readonly #stderr: Stream;

    constructor(
        command: string,
        options: GlobalOptions,
        stdout: Stream = process.stdout,
        stderr: Stream = process.stderr,
    ) {
        this.#command = command;
        this.#options = options;
        this.#stdout = stdout;
        this.#stderr = stderr;
    }

    /** `{"command", "rows", "notes"}` and the parts by name with --json, else tables and the notes as sentences. */
    async result<R extends object>(
        rows: readonly R[],
        notes: readonly string[],
        columns: readonly TableColumn<R>[],
        { parts = [], lead = 0 }: Layout = {},
    ): Promise<void> {
        if (this.#options.json) {
            const more = Object.fromEntries(parts.map((one) => [one.name, one.rows]));
            this.#stdout.write(`${visibleJson({ command: this.#command, rows, notes, ...more })}\n`);
            return;
        }
        const colours = coloursOf(this.#stdout);
        const say = (note: string) => {
            if (!this.#options.quiet) this.#stdout.write(`${wrapped(visibleLines(note), this.#width)}\n`);
        };
        for (const note of notes.slice(0, lead)) say(note);
        if (rows.length > 0 && columns.length > 0) {
            this.#stdout.write(`${await table(rows, columns, colours, this.#width)}\n`);
        }
        for (const { title, text } of parts.filter((one) => one.rows.length > 0)) {
            this.#stdout.write(`\n${title}\n${await text(colours, this.#width)}\n`);
        }
        if (parts.length > 0) this.#stdout.write('\n');
        for (const note of notes.slice(lead)) say(note);
    }

    /** Columns of the terminal that tables are fitted to; none elsewhere, nor with --wide. */
    get #width(): number | undefined {
        return this.#stdout.isTTY === true && this.#options.wide !== true ? this.#stdout.columns : undefined;
    }

    /** The same with `text` in place of the table, for rows that a table would not hold. */
    async resultAsText(rows: readonly object[], notes: readonly string[], text: string): Promise<void> {
        if (this.#options.json || text === '') await this.result(rows, notes, []);
        else
            this.#stdout.write(
                `${wrapped([text, ...(this.#options.quiet ? [] : ['', ...notes.map(visibleLines)])].join('\n'), this.#width)}\n`,
            );
    }

    /** A text that may go on to a file: as it is there, and without control characters on a terminal. */
    document(text: string): void {
        this.#stdout.write(`${this.#stdout.isTTY === true ? visibleLines(text) : text}\n`);
    }

    /** A line for people only: not with --json. */
    say(text: string): void {
        if (!this.#options.json && !this.#options.quiet) this.#stdout.write(`${visibleLines(text)}\n`);
    }

    /** A line for people beside the result. */
    aside(text: string): void {
        if (!this.#options.quiet) this.#stderr.write(`${visibleLines(text)}\n`);
    }

    warn(text: string): void {
        if (!this.#options.quiet)
            this.#stderr.write(`${coloursOf(this.#stderr).yellow('warning:')} ${visibleLines(text)}\n`);
    }

    /** Whether progress is overwritten in place, so that it may come often. */
    get isLive(): boolean {
        return this.#stderr.isTTY === true;
    }

    /** Progress: overwritten in place on a terminal, a plain line elsewhere. */
    progress(text: string): void {
        if (this.#options.quiet) return;
        this.#stderr.write(
            this.#stderr.isTTY ? `\r\u001b[2K${visibleLines(text)}` : `${visibleLines(text)}\n`,
        );
    }

    progressDone(): void {
        if (!this.#options.quiet && this.#stderr.isTTY) this.#stderr.write('\r\u001b[2K');
    }
}

/** `value` with `digits` decimals, without a minus before nothing but zeros. */
function fixed(value: number, digits: number): string {
    const text = value.toFixed(digits);
    return Number(text) === 0 ? text.replace('-', '') : text;
}

function show(value: Field, digits: number | undefined): string {
    if (value === null || value === undefined) return '-';
    if (typeof value === 'number') return digits === undefined ? String(value) : fixed(value, digits);
    if (typeof value === 'boolean') return value ? 'yes' : 'no';
    return visible(typeof value === 'string' ? value : value.join(' + '));
}

/** Characters that a terminal would obey or nobody would see, as escapes. */
export const visible = (value: string) => (plain.test(value) ? value : visibleText(value));

/** The same with its line ends as they are. */
export const visibleLines = (text: string) => text.split('\n').map(visible).join('\n');

/** `text` broken between words, indented as it was, so that no line takes more than `width` columns of Latin letters; as it is without a width. */
export function wrapped(text: string, width: number | undefined): string {
    if (width === undefined) return text;
    const lines: string[] = [];
    for (const line of text.split('\n')) {
        const indent = /^ */.exec(line)![0];
        let rest = line;
        while (rest.length > width) {
            const at = rest.lastIndexOf(' ', width);
            if (at <= indent.length) break;
            lines.push(rest.slice(0, at));
            rest = indent + rest.slice(at + 1);
        }
        lines.push(rest);
    }
    return lines.join('\n');
}

/**
 * Columns that each text of `lines` takes on a terminal. What tells it for any script takes a while to load, and mostly is not
 * needed.
 */
export async function widthsOf(lines: readonly (readonly string[])[]): Promise<number[][]> {
    const isPlain = lines.every((texts) => texts.every((text) => plain.test(text)));
    const widthOf = isPlain ? (text: string) => text.length : (await import('string-width')).default;
    return lines.map((texts) => texts.map((text) => widthOf(text)));
}

/** Columns that a cell may take where others follow it; a name can be long, and every row would be as wide. */
const WIDEST_CELL = 80;

/** Which columns go next where a table is too wide: the lowest `drop`, else the last but the first two, a "to" with its partner. */
function nextToDrop<R>(columns: readonly TableColumn<R>[], left: readonly number[]): number[] {
    const orders = left.map((i) => columns[i]!.drop).filter((drop) => drop !== undefined);
    if (orders.length > 0) return left.filter((i) => columns[i]!.drop === Math.min(...orders));
    if (columns.some(({ drop }) => drop !== undefined) || left.length <= 2) return [];
    const last = left.at(-1)!;
    return columns[last]!.title === 'to' && left.length > 3 ? left.slice(-2) : [last];
}

/** Narrower than this no text is cut to fit a terminal. */
const NARROWEST_CELL = 12;

/** Beginning and end of a text in at most `most` columns, looked for in steps of so many characters. */
async function cutTo(cell: string, most: number, step = 1): Promise<string> {
    for (let length = most; length > 0; length -= step) {
        const text = shortened(cell, length);
        const [[width]] = (await widthsOf([[text]])) as [[number]];
        if (width <= most) return text;
    }
    return cell;
}

/**
 * `rows` as a table, fitted to `width` columns where it is given: first columns are left out ({@link TableColumn.drop}), and said under
 * the table; then the widest texts are cut, to 12 columns at least.
 */
async function table<R>(
    rows: readonly R[],
    columns: readonly TableColumn<R>[],
    colours: Colours,
    width = Number.POSITIVE_INFINITY,
): Promise<string> {
    const values = rows.map((row) =>
        columns.map(({ value }) => (typeof value === 'function' ? value(row) : (row[value] as Field))),
    );
    const isRight = columns.map((_, i) => values.some((of) => typeof of[i] === 'number'));
    const shown = values.map((of) => of.map((value, i) => show(value, columns[i]!.digits)));
    for (const cells of shown) {
        for (const [i, cell] of cells.slice(0, -1).entries()) {
            if (cell.length > WIDEST_CELL / 2) cells[i] = await cutTo(cell, WIDEST_CELL, 4);
        }
    }
    const lines = [columns.map((column) => column.title), ...shown];
    const widths = await widthsOf(lines);
    const widest = columns.map((_, i) => widths.reduce((most, of) => Math.max(most, of[i]!), 0));
    let left = columns.map((_, i) => i);
    const wide = () => left.reduce((sum, i) => sum + widest[i]! + 2, -2);
    while (wide() > width) {
        const gone = nextToDrop(columns, left);
        if (gone.length === 0) break;
        left = left.filter((i) => !gone.includes(i));
    }
    for (;;) {
        const over = wide() - width;
        const texts = left.filter((i) => !isRight[i] && widest[i]! > NARROWEST_CELL);
        if (over <= 0 || texts.length === 0) break;
        const most = texts.reduce((first, i) => (widest[i]! > widest[first]! ? i : first));
        const target = Math.max(NARROWEST_CELL, widest[most]! - over);
        for (const [line, cells] of lines.entries()) {
            if (widths[line]![most]! <= target) continue;
            cells[most] = await cutTo(cells[most]!, target);
            [[widths[line]![most]]] = (await widthsOf([[cells[most]!]])) as [[number]];
        }
        widest[most] = target;
    }
    const [head, ...body] = lines.map((cells, line) =>
        left
            .map((i) => {
                const space = ' '.repeat(Math.max(0, widest[i]! - widths[line]![i]!));
                return isRight[i] ? space + cells[i]! : cells[i]! + space;
            })
            .join('  ')
            .trimEnd(),
    );
    const hidden = columns.filter((_, i) => !left.includes(i)).map(({ title }) => title);
    const words = `Not shown for want of room: ${hidden.join(', ')} (--wide shows all).`;
    const remark = hidden.length === 0 ? [] : [colours.dim(wrapped(words, width))];
    return [colours.bold(head!), ...body, ...remark].join('\n');
}
