import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeSeason } from '../../fixtures/season/make.js';
import type { CheckRow } from '../../src/contracts/results/check.js';
import { ensureModel } from '../../src/model/build.js';
import { check, isOpen } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { type LoadBench, loadBench } from '../support/loading.js';

const { files, planted } = makeSeason();
let bench: LoadBench;
let rows: CheckRow[];
beforeAll(async () => {
    bench = await loadBench();
    for (const name of ['readings.csv', 'kits.csv', 'targets.csv', 'sessions.csv'])
        await bench.load(name, files[name]!);
    await ensureModel(bench.db, checkNeeds({}));
    rows = (await check(bench.db)).rows.filter(isOpen);
});
afterAll(() => bench.close());

/** Which check finds which of the season's mistakes. */
const finds: Readonly<Record<string, string>> = {
    'sign of camber lost': 'lost_camber_sign',
    'sign of the marks reversed': 'offset_unit_or_sign',
    'marks written as mm': 'offset_unit_or_sign',
    'inches written as mm': 'offset_unit_or_sign',
    'degrees and minutes read as decimals': 'minutes_as_decimals',
    'left and right swapped': 'swapped_sides',
    'as-found copied as as-left': 'copied_rows',
    'toe total written per wheel': 'toe_total_as_wheel',
    'wrong bolt position': 'wrong_placement',
    'wrong hand': 'wrong_placement',
    'gauge mistyped': 'unfamiliar_gauge',
    'as-left before as-found': 'times_out_of_order',
    'digits exchanged': 'downweighted_moves',
    'as-left missing': 'visit_without_after',
};

test('every mistake planted in the example season is found by the check for it', () => {
    const missed = planted.filter(
        ({ mistake, vehicle, visit, corner }) =>
            !rows.some(
                (row) =>
                    row.check === finds[mistake] &&
                    row.vehicle === vehicle &&
                    (row.visit === null || visit === null || row.visit === visit) &&
                    (row.corner === null || corner === null || row.corner === corner),
            ),
    );
    expect(missed).toEqual([]);
});

test('besides them at most the bent strut and two more of the 500 visits look like mistakes', () => {
    const cars = new Set(planted.map(({ vehicle }) => vehicle));
    const others = rows.filter((row) => row.p_mistake !== null && !cars.has(String(row.vehicle)));
    expect(others.some((row) => row.check === 'included_angle_jump' && row.vehicle === 'car 4')).toBe(true);
    expect(others.length, others.map((row) => `${row.visit}: ${row.finding}`).join('\n')).toBeLessThanOrEqual(
        3,
    );
});
