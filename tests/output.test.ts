import { PassThrough } from 'node:stream';
import stringWidth from 'string-width';
import { expect, test } from 'vitest';
import { Output, widthsOf } from '../src/cli/output.js';

/** Checked with string-width, a library for what a text takes on a terminal. */

const every = Array.from({ length: 0x2300 }, (_, i) => String.fromCodePoint(i));

test('characters that are taken for one column wide without the library are so', async () => {
    const widths = await Promise.all(every.map(async (text) => (await widthsOf([[text]]))[0]![0]!));
    expect(widths).toEqual(every.map((text) => stringWidth(text)));
});

test('columns stand under each other in any script', async () => {
    const stdout = new PassThrough();
    const output = new Output('test', { db: '', json: false, quiet: false, debug: false }, stdout);
    const names = ['Ö', 'e\u0301', '日本', '👍🏽', 'plain'];
    await output.result(
        names.map((name, i) => ({ name, i })),
        [],
        [
            { title: 'name', value: (row) => row.name },
            { title: 'number', value: (row) => row.i, digits: 1 },
            { title: 'last', value: () => 'x' },
        ],
    );
    const lines = String(stdout.read()).trimEnd().split('\n');
    expect(lines).toHaveLength(6);
    const places = lines.slice(1).map((line) => stringWidth(line.slice(0, line.indexOf('x'))));
    expect(new Set(places)).toEqual(new Set([stringWidth(lines[0]!.slice(0, lines[0]!.indexOf('last')))]));
});

/** What a terminal of `columns` shows. */
async function onTerminal(
    columns: number | undefined,
    write: (output: Output) => Promise<void>,
    wide = false,
): Promise<string[]> {
    const stdout = Object.assign(new PassThrough(), { isTTY: columns !== undefined, columns });
    await write(new Output('test', { db: '', json: false, quiet: false, debug: false, wide }, stdout));
    const colours = new RegExp(`${String.fromCharCode(27)}\\[\\d+m`, 'g');
    return String(stdout.read()).replace(colours, '').trimEnd().split('\n');
}

const names = ['a name of a car that is rather long for a table '.repeat(2).trim(), '日本の車', 'short'];
const rows = names.map((name, i) => ({ name, i }));
const many = Array.from({ length: 12 }, (_, k) => ({
    title: `column ${k}`,
    value: ({ i }: { i: number }) => i + k / 10,
    digits: 2,
}));

test.each([80, 120])(
    'a table fits %i columns: columns are left out in their order, then long names are cut',
    async (width) => {
        const columns = [{ title: 'name', value: (row: { name: string }) => row.name }, ...many];
        const lines = await onTerminal(width, (output) => output.result(rows, [], columns));
        const [head, ...rest] = lines;
        const remark = rest.slice(rest.findIndex((line) => line.startsWith('Not shown'))).join(' ');
        for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(width);
        expect(remark).toMatch(/^Not shown for want of room: column \d+.*column 11 \(--wide shows all\)\.$/);
        expect(head).toContain('column 0');
        expect(head).not.toContain('column 11');
        const all = await onTerminal(width, (output) => output.result(rows, [], columns), true);
        expect(all[0]).toContain('column 11');
        expect(all.join('\n')).not.toContain('Not shown');
        const piped = await onTerminal(undefined, (output) => output.result(rows, [], columns));
        expect(piped).toEqual(all);
    },
);

test('the lowest drop goes first, equal ones together; columns without one stay', async () => {
    const columns = many.slice(0, 9).map((column, k) => ({
        ...column,
        ...([2, 3].includes(k) ? { drop: 1 } : k === 1 ? { drop: 2 } : {}),
    }));
    const lines = await onTerminal(80, (output) =>
        output.result(rows, ['The answer.', 'A remark.'], columns, { lead: 1 }),
    );
    expect(lines[0]).toBe('The answer.');
    expect(lines[1]).toMatch(/^column 0 {2}column 1 {2}column 4/);
    expect(lines.slice(-2)).toEqual([
        'Not shown for want of room: column 2, column 3 (--wide shows all).',
        'A remark.',
    ]);
});

test('a text in place of a table is broken between words to fit a terminal, and keeps its indent', async () => {
    const write = (output: Output) =>
        output.resultAsText([], ['one note of six words more'], 'title\n    a finding of more than a line');
    expect(await onTerminal(20, write)).toEqual([
        'title',
        '    a finding of',
        '    more than a line',
        '',
        'one note of six',
        'words more',
    ]);
    expect(await onTerminal(undefined, write)).toContain('    a finding of more than a line');
});
