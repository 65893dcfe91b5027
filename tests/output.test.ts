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
    const output = new Output({ db: '', json: false, quiet: false, debug: false }, stdout);
    const names = ['Ö', 'e\u0301', '日本', '👍🏽', 'plain'];
    await output.result(
        'test',
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
