import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Column, TableContract } from '../../src/contracts/table.js';
import { tables } from '../../src/contracts/tables.js';
import { identifier } from '../../src/db/database.js';
import { type LoadBench, loadBench } from '../support/loading.js';
import { keeps } from '../support/rowRules.js';

/** The checks of `load` are SQL made from the contract; here the zod schema itself says what they must accept, and tests/support/rowRules.ts what must hold across columns. */

let bench: LoadBench;
beforeAll(async () => {
    bench = await loadBench();
});
afterAll(() => bench.close());

/** Decimal number as the contract has it: digits with a point, sign and exponent allowed. */
const decimal = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

function cellValue(column: Column, cell: string): unknown {
    const text = cell.replace(/^[ \t\r\n\u00a0]+|[ \t\r\n\u00a0]+$/g, '');
    if (text === '') return null;
    if (column.type !== 'number' && column.type !== 'integer') return text;
    return decimal.test(text) ? Number(text) : text;
}

function accepts(contract: TableContract, row: Record<string, unknown>): boolean {
    const oneOfEach = contract.atLeastOneOf.every((group) => group.some((name) => row[name] !== null));
    const isRuled = contract.rules.every((rule) => keeps(rule, row));
    return contract.schema.safeParse(row).success && oneOfEach && isRuled;
}

const numberLike = fc.oneof(
    fc.integer({ min: -70, max: 70 }).map(String),
    fc.double({ min: -70, max: 70, noNaN: true }).map(String),
    fc.string({ unit: fc.constantFrom(...'0123456789+-.eE_, xnaif°'), maxLength: 7 }),
    fc.constantFrom(
        '12',
        '-12',
        '12.0000000001',
        '1e1',
        '1E-2',
        '1e400',
        '-1e400',
        '1e-400',
        '.5',
        '5.',
        '00012',
        '1_000',
    ),
    fc.constantFrom(
        'NaN',
        'nan',
        'inf',
        '-Infinity',
        '0x10',
        '1,5',
        '−1',
        '1d',
        '+-1',
        '-+1',
        '1e5.',
        '1 2',
        '١',
        ' 1 ',
        '\u00a01',
    ),
);

const pad = (n: number, width: number) => String(n).padStart(width, '0');

const momentLike = fc
    .tuple(
        fc.constantFrom(1, 1900, 1999, 2000, 2023, 2024, 2100, 9999),
        fc.integer({ min: 0, max: 13 }),
        fc.integer({ min: 0, max: 32 }),
        fc.constantFrom(
            '',
            'T10:00',
            ' 10:00',
            'T23:59:59.5',
            'T24:00',
            'T10:60',
            'T10:00Z',
            'T10:00+14:00',
            'T10',
            't10:00',
        ),
    )
    .map(([year, month, day, time]) => `${pad(year, 4)}-${pad(month, 2)}-${pad(day, 2)}${time}`);

const textLike = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 12 }),
    fc.string({ unit: fc.constantFrom(...'ab ,"\n\r\t\0;\u001f\u007f\u00a0é'), maxLength: 8 }),
    fc
        .constantFrom(1999, 2000, 2001)
        .chain((length) => fc.constantFrom('x', 'é', '😀').map((one) => one.repeat(length))),
    fc.constantFrom("'; drop table readings; --", '=1+1', '{value}', '$file', '"'),
);

/** Numbers that rules across columns sometimes let stand together, and sometimes not. */
const often: Record<string, fc.Arbitrary<string>> = Object.fromEntries(
    Object.entries({
        index_count: [1, 2, 3, 4, 5, 6, 12],
        index_step_deg: [0, 30, -60, 72, 90, 120, -120, 240, 0.9, 1, 359, 360],
        mark_pitch_mm: [1, 2, 2.5, 8, 26.7, 50],
        mark_min: [-5, -4, -1.5, 0, 1, 6],
        mark_max: [-1, 0, 1.5, 4, 5],
        mark2_min: [-4, 0, 0, 0, 3],
        mark2_max: [-4, 0, 0, 0, 4],
        mark_resolution: [0.1, 0.5, 1, 5],
        camber_deg: [-2, -1],
        laps: [0, 1, 20],
        distance_km: [0, 0.4, 80],
        seat_diameter_mm: [1, 5, 14],
        thread_length_mm: [0, 1.4, 1.5, 20],
        thread_pitch_mm: [0.2, 1.5, 6],
        height_mm: [0, 0.05, 8],
        height_tol_mm: [0, 0.1, 10],
    }).map(([name, numbers]) => [name, fc.constantFrom(...numbers).map(String)]),
);

function cellOf(column: Column): fc.Arbitrary<string> {
    const fitting = {
        text: fc.string({ unit: fc.constantFrom(...'abc é-'), minLength: 1, maxLength: 6 }),
        choice: fc.constantFrom(...column.words, ...column.words, ...column.words, 'x'),
        datetime: fc.constant('2024-05-01T10:00'),
        number: fc.integer({ min: Math.ceil(column.min ?? 0), max: column.max ?? 9 }).map(String),
        integer: fc.integer({ min: Math.ceil(column.min ?? 0), max: column.max ?? 9 }).map(String),
    }[column.type];
    const strange = {
        text: textLike,
        choice: textLike,
        datetime: momentLike,
        number: numberLike,
        integer: numberLike,
    };
    return fc.oneof(
        { weight: column.required ? 1 : 60, arbitrary: fc.constant('') },
        { weight: 120, arbitrary: often[column.name] ?? fitting },
        { weight: 3, arbitrary: fc.oneof(strange[column.type], numberLike, textLike) },
    );
}

function rowsOf(contract: TableContract): fc.Arbitrary<string[][]> {
    return fc.array(fc.tuple(...contract.columns.map(cellOf)), { minLength: 300, maxLength: 300 });
}

const quoted = (cell: string) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

/** Keys are not what is tested here: the n-th row gets a first key column of its own, where it has one at all. */
function withOwnKey(contract: TableContract, cells: string[], n: number): string[] {
    const index = contract.columns.findIndex((column) => column.name === contract.key[0]);
    return cells.map((cell, i) =>
        i === index && cellValue(contract.columns[i]!, cell) !== null ? `${cell}${n}` : cell,
    );
}

describe.each(tables.map((contract) => [contract.kind, contract] as const))(
    'the checks of %s',
    (_, contract) => {
        test('accept what the schema accepts, and store the same values', async () => {
            const samples = fc.sample(rowsOf(contract), { numRuns: 4, seed: 20240501 });
            for (const [run, sample] of samples.entries()) {
                const rows = sample.map((cells, n) => withOwnKey(contract, cells, n + 1000 * run));
                const named = rows.map((cells) =>
                    Object.fromEntries(
                        contract.columns.map((column, i) => [column.name, cellValue(column, cells[i]!)]),
                    ),
                );
                const wanted = named.filter((row) => accepts(contract, row));
                const blank = named.filter((row) =>
                    Object.values(row).every((value) => value === null),
                ).length;
                expect(wanted.length).toBeGreaterThan(10);
                expect(wanted.length).toBeLessThan(rows.length - 10);

                const header = contract.columns.map((column) => column.name);
                const content = [header, ...rows].map((cells) => `${cells.map(quoted).join(',')}\n`).join('');
                const { rows: reports } = await bench.load(`${contract.kind}-${run}.csv`, content);
                const [report] = reports;
                const stored = await bench.db.cells(
                    `select ${header.map(identifier).join(', ')} from ${identifier(contract.kind)}
                where load_id = (select max(load_id) from loads) order by source_line`,
                );
                expect(stored).toEqual(wanted);
                expect(report!.read_count).toBe(rows.length - blank);
                expect(report!.rejected_count).toBe(report!.read_count - wanted.length);
            }
        });
    },
);
