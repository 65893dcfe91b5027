import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { type DatedGap, walksOf } from '../../src/stats/measurement/walks.js';

const readVariance = (2 * 0.04 ** 2) / 3;
const scale = 0.01;
const usual = 2 * 0.06 ** 2;

/** Biases in deg by gauge, at week 0, and what they walk in a week. */
type Gauges = Readonly<Record<string, { bias: number; rate: number }>>;

/** Gaps of visits of cars with two rear corners, `weeks` apart, by gauges drawn at random; a share of the corners moved by 0.3 deg. */
function gapsOf(random: Random, gauges: Gauges, count: number, weeks: number, movedShare = 0.05): DatedGap[] {
    const names = Object.keys(gauges);
    const readAt = (name: string, week: number) =>
        gauges[name]!.bias +
        gauges[name]!.rate * week +
        random.normal(0, Math.hypot(0.06, 0.04 / Math.sqrt(3)));
    return Array.from({ length: count }, (_, i) => {
        const from = random.uniform() * (40 - weeks);
        const to = from + weeks * (0.5 + random.uniform() / 2);
        const [a, b] = [random.pick(names), random.pick(names)];
        const read = (readAt(b, to) - readAt(a, from)) * (a > b ? -1 : 1);
        const moved = random.chance(movedShare) ? random.normal(0, 0.3) : 0;
        const pair = a === b ? 0 : 1 + names.indexOf(a) + names.indexOf(b);
        return {
            gap: read + moved,
            variance: readVariance,
            pair,
            cluster: i,
            undisturbed: true,
            stood: false,
            mountings: 2,
            gauges: a > b ? [b, a] : [a, b],
            at: a > b ? [to, from] : [from, to],
        };
    });
}

const steady = { bias: 0.03, rate: 0 };
const fields = 60;

function found(gauges: Gauges, count: number, weeks: number, movedShare?: number) {
    const random = new Random(13);
    return Array.from({ length: fields }, () =>
        walksOf(gapsOf(random, gauges, count, weeks, movedShare), scale, usual),
    );
}

const share = (walks: ReturnType<typeof found>, name: string) =>
    walks.filter((one) => one.get(name)!.probability >= 0.5).length / walks.length;

test('without a gap, or a time, nobody walks', () => {
    expect(walksOf([], scale, usual).size).toBe(0);
    const undated = gapsOf(new Random(1), { rack: steady }, 20, 8).map((gap) => ({
        ...gap,
        at: [Number.NaN, gap.at[1]] as const,
    }));
    expect(walksOf(undated, scale, usual).size).toBe(0);
});

test('a gauge that walks 0.4 deg in 40 weeks is found out by its own returns to a setting, steady ones hardly ever', () => {
    const walking = found({ rack: { bias: 0, rate: 0.01 } }, 60, 20);
    expect(share(walking, 'rack')).toBeGreaterThan(0.95);
    const held = walking.filter((one) => {
        const { rate, standardError } = one.get('rack')!;
        return Math.abs(rate - 0.01) <= 1.96 * standardError;
    });
    expect(held.length / fields).toBeGreaterThan(0.85);
    expect(share(found({ rack: steady }, 60, 20), 'rack')).toBeLessThan(0.04);
});

test('cars that come back after three weeks tell by other gauges which of three walks, and blame no other', () => {
    const walking = found({ a: steady, b: { bias: -0.05, rate: 0.008 }, c: { bias: 0, rate: 0 } }, 120, 3);
    expect(share(walking, 'b')).toBeGreaterThan(0.9);
    expect(share(walking, 'a')).toBeLessThan(0.05);
    expect(share(walking, 'c')).toBeLessThan(0.05);
    for (const name of ['a', 'b', 'c']) {
        expect(share(found({ a: steady, b: steady, c: steady }, 120, 3), name)).toBeLessThan(0.04);
    }
});

test('where two gauges tell of each other only, either may walk, and the rate of both holds the truth', () => {
    const walking = found({ a: steady, b: { bias: 0, rate: 0.01 } }, 120, 2);
    const holds = ({ expected, variance }: { expected: number; variance: number }, rate: number) =>
        Math.abs(expected - rate) <= 1.96 * Math.sqrt(variance);
    for (const one of walking) {
        expect(one.get('a')!.probability + one.get('b')!.probability).toBeGreaterThan(0.95);
    }
    // Nearly sure and wrong now and then, as nearly sure has it.
    const held = walking.filter((one) => holds(one.get('a')!, 0) && holds(one.get('b')!, 0.01));
    expect(held.length / fields).toBeGreaterThan(0.85);
});

test.each([0.02, 0.05])(
    'a gauge that walks %f deg a week, more than is usual, is followed by 40 gaps',
    (rate) => {
        const walking = found({ a: steady, b: { bias: 0, rate }, c: { bias: 0, rate: 0 } }, 40, 3);
        const errors = walking.map((one) => {
            const { rate: told, standardError } = one.get('b')!;
            return (told - rate) / standardError;
        });
        expect(errors.filter((z) => Math.abs(z) <= 1.96).length / fields).toBeGreaterThan(0.82);
        expect(Math.abs(errors.reduce((sum, z) => sum + z, 0) / fields)).toBeLessThan(0.6);
    },
);

test('corners that moved carry no rate away', () => {
    const walking = found({ a: steady, b: { bias: 0, rate: 0.01 }, c: steady }, 200, 3, 0.25);
    const mean = walking.reduce((sum, one) => sum + one.get('b')!.rate, 0) / fields;
    expect(Math.abs(mean / 0.01 - 1)).toBeLessThan(0.1);
    expect(share(walking, 'a')).toBeLessThan(0.05);
});

test('gaps whose year is mistyped hide no walk and blame no other', () => {
    const random = new Random(13);
    const mistyped = (gaps: DatedGap[]): DatedGap[] =>
        gaps.map((gap, i) => (i < 3 ? { ...gap, at: [gap.at[0], gap.at[1] + 27 * 52.18] } : gap));
    const walking = Array.from({ length: fields }, () =>
        walksOf(
            mistyped(gapsOf(random, { a: steady, b: { bias: -0.05, rate: 0.01 }, c: steady }, 120, 3)),
            scale,
            usual,
        ),
    );
    expect(share(walking, 'b')).toBeGreaterThan(0.9);
    expect(share(walking, 'a')).toBeLessThan(0.05);
    expect(share(walking, 'c')).toBeLessThan(0.05);
    for (const one of walking) expect(one.get('b')!.weeks).toBeLessThan(41);
});

test('cars that settle within weeks after an install are no walk of the one gauge that reads them', () => {
    const random = new Random(14);
    const settling = (gaps: DatedGap[]): DatedGap[] =>
        gaps.map((gap) => ({ ...gap, gap: gap.gap - (0.1 * (gap.at[1] - gap.at[0])) / 6 }));
    const told = Array.from({ length: fields }, () =>
        walksOf(settling(gapsOf(random, { rack: steady }, 200, 6)), scale, usual),
    );
    expect(told.filter((one) => (one.get('rack')?.probability ?? 0) >= 0.5)).toEqual([]);
});

test('the order of the gauges and of the gaps does not matter', () => {
    const gaps = gapsOf(new Random(7), { a: steady, b: { bias: 0, rate: 0.01 }, c: steady }, 100, 3);
    const other = [...gaps]
        .reverse()
        .map(({ gap, gauges: [one, two], at: [from, to], pair, ...rest }) =>
            pair === 0
                ? { ...rest, pair, gap, gauges: [one, two] as const, at: [from, to] as const }
                : { ...rest, pair, gap: -gap, gauges: [two, one] as const, at: [to, from] as const },
        );
    const [first, second] = [walksOf(gaps, scale, usual), walksOf(other, scale, usual)];
    for (const [name, { rate, probability }] of first) {
        expect(second.get(name)!.rate).toBeCloseTo(rate, 9);
        expect(second.get(name)!.probability).toBeCloseTo(probability, 6);
    }
});
