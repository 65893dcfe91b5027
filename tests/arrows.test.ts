import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const src = fileURLToPath(new URL('../src/', import.meta.url));

/** What each folder of src may import from, besides itself; packages are free. */
const arrows: Record<string, readonly string[]> = {
    cli: [
        'library',
        'load',
        'model',
        'serve',
        'sheet',
        'report',
        'export',
        'share',
        'contracts',
        'db',
        'stats',
        'units',
        'errors',
    ],
    library: ['load', 'model', 'sheet', 'report', 'export', 'contracts', 'db', 'units', 'errors'],
    load: ['contracts', 'db', 'stats', 'units', 'errors'],
    model: ['contracts', 'db', 'stats', 'units', 'errors'],
    report: ['contracts', 'db', 'stats', 'units', 'errors'],
    sheet: ['report', 'model', 'contracts', 'db', 'stats', 'units', 'errors'],
    serve: ['load', 'sheet', 'report', 'model', 'contracts', 'db', 'errors'],
    export: ['contracts', 'db', 'errors'],
    share: ['model', 'contracts', 'db', 'units', 'errors'],
    contracts: ['stats', 'units', 'errors'],
    db: ['contracts', 'errors'],
    stats: ['errors'],
    units: ['stats', 'errors'],
    errors: [],
};

const sources = readdirSync(src, { recursive: true, encoding: 'utf8' }).filter((file) =>
    file.endsWith('.ts'),
);

test('every folder of src has its arrows', () => {
    const folders = new Set(sources.filter((file) => file.includes('/')).map((file) => file.split('/')[0]));
    expect(Object.keys(arrows)).toEqual(expect.arrayContaining([...folders]));
});

test('imports go one way: cli -> library | serve -> load | share | sheet -> model | report | export -> db, stats, units, contracts -> errors', () => {
    const wrong: string[] = [];
    for (const file of sources) {
        const from = file.split('/')[0]!;
        const text = readFileSync(join(src, file), 'utf8');
        for (const [, target] of text.matchAll(/(?:from|import\()\s*'(\.[^']+)'/g)) {
            const path = relative(src, join(src, dirname(file), target!));
            if (path.startsWith('..')) continue;
            const to = path.split('/')[0]!;
            if (!path.includes('/') || to === from || from.endsWith('.ts')) continue;
            if (!arrows[from]?.includes(to)) {
                wrong.push(
                    `${file} imports ${path}: src/${from} may import from ${arrows[from]?.join(', ')}`,
                );
            }
        }
    }
    expect(wrong).toEqual([]);
});

test('the search over settings imports nothing but itself, so that it runs in a browser', () => {
    const own = sources.filter((file) => file.startsWith('stats/settings/'));
    const wrong = own.flatMap((file) =>
        [...readFileSync(join(src, file), 'utf8').matchAll(/(?:from|import\()\s*'([^']+)'/g)]
            .filter(([, target]) => !/^\.\/\w+\.js$/.test(target!))
            .map(([, target]) => `${file} imports ${target}`),
    );
    expect(own.length).toBeGreaterThan(0);
    expect(wrong).toEqual([]);
});

test('only src/db opens DuckDB', () => {
    const opening = sources.filter((file) => /DuckDBInstance/.test(readFileSync(join(src, file), 'utf8')));
    expect(opening).toEqual(['db/database.ts']);
});

test('no powers but squares, whose last bits do not differ between versions of Node', () => {
    const found = sources.flatMap((file) =>
        readFileSync(join(src, file), 'utf8')
            .split('\n')
            .map((line, at) => `${file}:${at + 1}: ${line.trim()}`)
            .filter(
                (line) => !/: (\/?\*|\/\/)/.test(line) && /\S \*\* (?!2\b(?!\.))|\*\*=|Math\.pow/.test(line),
            ),
    );
    expect(found).toEqual([]);
});
