import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadRow } from '../../src/contracts/results/load.js';
import { mapResult } from '../../src/contracts/results/map.js';
import { type Database, identifier } from '../../src/db/database.js';
import { csvCells } from '../../src/load/csvCells.js';
import { draftMap } from '../../src/load/map/draftMap.js';
import { type MapFile, parseMap, readMap } from '../../src/load/map/readMap.js';
import { listRejects } from '../../src/load/rejects.js';
import { loadBench } from '../support/loading.js';

const cases = join(import.meta.dirname, '../../fixtures/cases/map');

interface Expected {
    file: string;
    load: Record<string, number>;
    rejects: { line: number; column: string | null; says: string; text: string }[];
    answers: Record<string, string>;
    guess_leaves_out: string[];
}

/** Records of a small CSV file whose quoted cells may hold line ends. */
function records(text: string): string[][] {
    return [...text.matchAll(/(?:"(?:[^"]|"")*"|[^"\n])+/g)].map(([record]) => csvCells(record));
}

function expectRows(found: Record<string, unknown>[], names: string[], wanted: string[][]): void {
    const where = (row: Record<string, unknown>) => `${row.source_line} ${row.corner} ${row.phase}`;
    const order = (a: Record<string, unknown>, b: Record<string, unknown>) => (where(a) < where(b) ? -1 : 1);
    const expected = wanted.map((cells) => Object.fromEntries(names.map((name, i) => [name, cells[i]!])));
    expect(found.map(where).sort()).toEqual(expected.map(where).sort());
    const sorted = expected.sort(order);
    for (const [i, row] of [...found].sort(order).entries()) {
        for (const name of names) {
            const value = row[name];
            const text = sorted[i]![name]!;
            if (typeof value === 'number')
                expect(value, `${where(row)} ${name}`).toBeCloseTo(Number(text), 6);
            else expect(value ?? '', `${where(row)} ${name}`).toBe(text);
        }
    }
}

async function stored(db: Database, names: string[]): Promise<Record<string, unknown>[]> {
    return db.cells(`select ${names.map(identifier).join(', ')} from readings`);
}

const folders = readdirSync(cases, { withFileTypes: true }).filter((entry) => entry.isDirectory());

describe.each(folders.map(({ name }) => name))('map %s', (name) => {
    const at = (file: string) => join(cases, name, file);
    const expected = JSON.parse(readFileSync(at('expected.json'), 'utf8')) as Expected;
    const [header, ...rows] = records(readFileSync(at('expected.csv'), 'utf8'));

    async function loaded(map: MapFile) {
        const bench = await loadBench();
        return { bench, report: await bench.load(expected.file, readFileSync(at(expected.file)), { map }) };
    }

    test('gives the expected rows, counts and rejects', async () => {
        const { bench, report } = await loaded(readMap(at('map.yaml')));
        try {
            expect(report.refused).toEqual([]);
            const row = loadRow.parse(report.rows[0]);
            expect(row).toMatchObject({ ...expected.load, replaced_count: 0 });
            expect(row.loaded_count + row.duplicate_count + row.rejected_count).toBe(row.read_count);
            expectRows(await stored(bench.db, header!), header!, rows);
            const rejects = (await listRejects(bench.db)).sort(
                (a, b) => a.line - b.line || (a.column ?? '').localeCompare(b.column ?? ''),
            );
            expect(rejects.map(({ line, column, text }) => ({ line, column, text }))).toEqual(
                expected.rejects.map(({ line, column, text }) => ({ line, column, text })),
            );
            for (const [i, { says }] of expected.rejects.entries())
                expect(rejects[i]!.reason).toContain(says);
        } finally {
            bench.close();
        }
    });

    test('is guessed, and the answered guess loads the same', async () => {
        const { asked, ...row } = draftMap(at(expected.file));
        mapResult.parse({ command: 'map', rows: [row], notes: [] });
        expect(row.preview.length).toBeGreaterThan(0);
        if (expected.guess_leaves_out.includes('*')) return;
        expect(row.questions.map(({ key }) => key.replace(/^columns\./, '')).sort()).toEqual(
            Object.keys(expected.answers).sort(),
        );
        const lines = row.map.split('\n');
        for (const { line, key, question } of row.questions) {
            expect(question).not.toBe('');
            const answer = expected.answers[key.replace(/^columns\./, '')]!;
            lines[line - 1] = lines[line - 1]!.replace('ASK', answer);
        }
        const text = lines.join('\n');
        const { bench, report } = await loaded({
            file: 'guess.yaml',
            map: parseMap('guess.yaml', text),
        });
        try {
            expect(report.refused).toEqual([]);
            expect(report.rows[0]).toMatchObject(expected.load);
            const kept = header!.filter((column) => !expected.guess_leaves_out.includes(column));
            const cells = rows.map((cells) => kept.map((column) => cells[header!.indexOf(column)]!));
            expectRows(await stored(bench.db, kept), kept, cells);
        } finally {
            bench.close();
        }
    });
});
