import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { displayStep } from '../../src/stats/measurement/displayStep.js';
import {
    type Cell,
    mistakeLimit,
    type Repeatability,
    repeatability,
    usualOf,
} from '../../src/stats/measurement/repeatability.js';
import { sharedRounding } from '../../src/stats/measurement/sharedRounding.js';

/** `count` states read `times` times, true values anywhere from -3 to 0 deg, as a display with `step` shows them (0: unrounded). */
function field(random: Random, sd: number, step: number, count = 400, times = 3): Cell[] {
    return Array.from({ length: count }, () => {
        const truth = -3 * random.uniform();
        return Array.from({ length: times }, () => {
            const read = random.normal(truth, sd);
            return step === 0 ? read : Number((Math.round(read / step) * step).toFixed(4));
        });
    });
}

function stepOf(cells: readonly Cell[]): number {
    const counts = new Map<number, number>();
    for (const value of cells.flat()) counts.set(value, (counts.get(value) ?? 0) + 1);
    return displayStep(counts);
}

function judge(cells: readonly Cell[]): Repeatability & { step: number } {
    const step = stepOf(cells);
    const usual = usualOf(cells);
    return { ...repeatability(cells, step, mistakeLimit(usual, usual, step)), step };
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

test('clean normal triples: the mean of 25 fields of 400 states is within 1.5 % of the truth, and no more than 10 states are touched', () => {
    const random = new Random(1);
    const fields = Array.from({ length: 25 }, () => judge(field(random, 0.04, 0)));
    expect(Math.abs(mean(fields.map(({ variance }) => Math.sqrt(variance!))) / 0.04 - 1)).toBeLessThan(0.015);
    expect(fields.reduce((sum, { mistakeCount }) => sum + mistakeCount, 0)).toBeLessThanOrEqual(10);
    for (const { df } of fields) expect(df).toBe(800);
});

test.each([2, 4, 6])('states read %i times: unbiased too', (times) => {
    const random = new Random(2);
    const fields = Array.from({ length: 25 }, () => judge(field(random, 0.04, 0, 400, times)));
    expect(Math.abs(mean(fields.map(({ variance }) => variance!)) / 0.04 ** 2 - 1)).toBeLessThan(0.03);
});

test.each([
    [0.05, 0.04],
    [0.1, 0.04],
    [5 / 60, 0.04],
    [0.1, 0.02],
    [0.1, 0.01],
    [0.01, 0.04],
])('a display of %f deg over noise of %f: one displayed reading varies by both, within 10 %%', (step, sd) => {
    const random = new Random(3);
    for (let repeat = 0; repeat < 5; repeat++) {
        const found = judge(field(random, sd, step));
        expect(found.step).toBeCloseTo(step, 9);
        const shown = Math.sqrt(found.variance! + step ** 2 / 12);
        expect(Math.abs(shown / Math.hypot(sd, step / Math.sqrt(12)) - 1)).toBeLessThan(0.1);
    }
});

test('a display that never changes its digit is not a perfect gauge: the spread stays unknown, with two degrees of freedom', () => {
    const cells = Array.from({ length: 60 }, (_, i) => Array<number>(3).fill(-2 + 0.1 * (i % 15)));
    const { variance, df, step } = judge(cells);
    expect(step).toBeCloseTo(0.1, 9);
    expect(variance).toBeGreaterThan(0);
    expect(df).toBe(2);
});

test('steps of displays are told from their readings, whatever number of decimals they are written with', () => {
    const random = new Random(4);
    const shown = (step: number, decimals: number, count = 200) =>
        Array.from({ length: count }, () => [
            Number((Math.round(random.normal(-1.5, 0.6) / step) * step).toFixed(decimals)),
        ]);
    for (const [step, decimals] of [
        [0.5, 2],
        [0.25, 2],
        [0.1, 1],
        [0.1, 3],
        [0.05, 2],
        [0.02, 2],
        [0.01, 2],
        [5 / 60, 2],
        [5 / 60, 4],
        [1 / 60, 3],
        [0.001, 3],
    ] as const) {
        expect(stepOf(shown(step, decimals))).toBeCloseTo(step, 9);
    }
    expect(stepOf(Array.from({ length: 50 }, () => [random.normal()]))).toBe(0);
    // Three cars set to whole and half degrees say no more than the decimals they are written with.
    expect(stepOf([[-1.5], [-2], [-1]])).toBeCloseTo(0.1, 9);
    expect(stepOf([[-1.52], [-2], [-1]])).toBeCloseTo(0.01, 9);
    // One typing mistake in a hundred hides no step.
    expect(stepOf([...shown(0.1, 1), [-1.57]])).toBeCloseTo(0.1, 9);
});

test('mistakes beyond doubt are set apart, and both figures are known', () => {
    const random = new Random(5);
    const cells = field(random, 0.04, 0.01).map((cell, i) =>
        i < 4 ? [cell[0]!, cell[1]!, cell[2]! + 1] : cell,
    );
    const found = judge(cells);
    expect(found.mistakeCount).toBe(4);
    expect(Math.sqrt(found.variance!)).toBeCloseTo(0.04, 2);
    expect(Math.sqrt(found.varianceOfAll!)).toBeGreaterThan(0.06);
    // Of two readings nothing tells which is wrong.
    const pairs = field(random, 0.04, 0.01, 40, 2).map((cell, i) => (i === 0 ? [-1, -2] : cell));
    expect(judge(pairs).mistakeCount).toBe(2);
});

test.each([0.02, 0.1, 0.2, 0.35, 0.6])(
    'rounding that two readings of one state share, against simulation (sd of %f steps)',
    (sd) => {
        const random = new Random(6);
        let [product, square] = [0, 0];
        for (let i = 0; i < 100_000; i++) {
            const truth = random.uniform();
            const [a, b] = [random.normal(truth, sd), random.normal(truth, sd)];
            product += (Math.round(a) - a) * (Math.round(b) - b);
            square += (Math.round(a) - a) ** 2;
        }
        expect(sharedRounding(sd)).toBeCloseTo(product / square, 1);
    },
);

test('no order and no origin changes a bit of it', () => {
    const random = new Random(7);
    const cells = field(random, 0.04, 0.1, 50);
    const turned = [...cells].reverse().map((cell) => [...cell].reverse());
    const moved = cells.map((cell) => cell.map((value) => Number((value + 0.7).toFixed(4))));
    for (const other of [turned, moved]) expect(judge(other)).toEqual(judge(cells));
});
