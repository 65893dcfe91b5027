import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { tableOf } from '../../src/contracts/tables.js';
import { ensureModel } from '../../src/model/build.js';
import { check } from '../../src/model/check.js';
import { checkNeeds, checks } from '../../src/model/checks.js';
import { type LoadBench, loadBench } from '../support/loading.js';
import { empty, type Rows } from '../support/memory.js';
import { type OddCar, oddField, oddities } from '../support/oddFields.js';

const cell = (value: unknown) => (value == null ? '' : `"${String(value).replaceAll('"', '""')}"`);

function csv(kind: string, rows: Rows): string {
    const names = tableOf(kind)
        .columns.map(({ name }) => name)
        .filter((name) => rows.some((row) => row[name] != null));
    return [names.join(','), ...rows.map((row) => names.map((name) => cell(row[name])).join(','))].join('\n');
}

/** Checks whose findings are remarks: the rows cannot tell how sure they are. */
const remarks = new Set(
    checks()
        .filter(({ query }) => /p_mistake is NULL/.test(query))
        .map(({ name }) => name),
);

let bench: LoadBench;
beforeAll(async () => {
    bench = await loadBench();
});
afterAll(() => bench.close());
let fieldCount = 0;

/** Loads `field` into the emptied database and holds what `check` answers to its contract. */
async function holds(field: Readonly<Record<string, Rows>>): Promise<Set<string>> {
    if (fieldCount > 0) await empty(bench.db);
    for (const [kind, rows] of Object.entries(field)) {
        if (rows.length === 0) continue;
        const { refused } = await bench.load(`${kind}.csv`, csv(kind, rows));
        expect(refused).toEqual([]);
    }
    await ensureModel(bench.db, checkNeeds({}), `field ${++fieldCount}`);
    const { rows, failures } = await check(bench.db);
    expect(failures.map(({ check: name, error }) => `${name}: ${error.message}`)).toEqual([]);
    for (const row of rows) {
        const told = JSON.stringify(row);
        expect(row.finding.trim(), told).not.toBe('');
        expect(row.finding, told).not.toMatch(/\b(null|nan|inf)\b/i);
        expect(row.file, told).toMatch(/readings.csv$/);
        expect(row.line, told).toBeGreaterThan(1);
        expect(row.line, told).toBeLessThanOrEqual(field.readings!.length + 1);
        expect(row.p_mistake === null, told).toBe(remarks.has(row.check));
    }
    return new Set(rows.map((row) => row.check));
}

const names = Object.keys(oddities);
const each: OddCar[] = names.map((name, n) => ({ chassis: `C${n % 12}`, oddities: [name], visits: 2 }));

test('every oddity beside sound cars: each check answers, and what it finds has its words, file and line', async () => {
    const told = await holds(oddField(each, 8, 1));
    for (const name of ['copied_rows', 'end_of_scale', 'marks_beyond_scale', 'unknown_kit'])
        expect(told).toContain(name);
});

test('a field in which every change is exactly 0', async () => {
    expect(
        await holds(
            oddField(
                [1, 2, 3].map(() => ({ chassis: 'Z', oddities: ['after copied from before'], visits: 2 })),
                0,
                2,
            ),
        ),
    ).toContain('implausible_slopes');
});

test('a bolt position that the kit has not, whose angles fit another one', async () => {
    await holds(
        oddField(
            [{ chassis: 'Y', oddities: ['offsets a hair apart', 'index over the count'], visits: 2 }],
            4,
            999_995,
        ),
    );
});

// More of them: FIELDS=200 npm run proof -- tests/check/oddFields.proof.ts
test('random fields of odd cars', async () => {
    const car: fc.Arbitrary<OddCar> = fc.record({
        chassis: fc.constantFrom('X', 'Y', 'Z'),
        oddities: fc.uniqueArray(fc.constantFrom(...names), { maxLength: 4 }),
        visits: fc.integer({ min: 1, max: 3 }),
    });
    await fc.assert(
        fc.asyncProperty(
            fc.array(car, { minLength: 1, maxLength: 12 }),
            fc.constantFrom(0, 0, 4),
            fc.nat(1e6),
            async (cars, sound, seed) => {
                await holds(oddField(cars, sound, seed));
            },
        ),
        { numRuns: Number(process.env.FIELDS ?? 2), seed: 20_261, endOnFailure: true },
    );
});
