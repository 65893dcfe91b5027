import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { describe, expect, test } from 'vitest';
import { blocksOf, type NormalEquations } from '../../src/stats/mixedModel.js';
import { predictedEffects } from '../../src/stats/predictedEffects.js';
import { reml } from '../../src/stats/reml.js';
import { symmetricInverse } from '../../src/stats/symmetricInverse.js';

interface Pair {
    plus: number[];
    minus: number[];
    gap: number;
}

/** Equations of differences of two readings with weight 1, each by the levels that it adds and takes away. */
function equationsOf(levelCount: number, pairs: readonly Pair[]) {
    const xx = new Map<string, number>();
    const xy = Array.from({ length: levelCount }, () => 0);
    let yy = 0;
    for (const { plus, minus, gap } of pairs) {
        const signs = [
            ...plus.map((level) => [level, 1] as const),
            ...minus.map((level) => [level, -1] as const),
        ];
        yy += gap * gap;
        for (const [i, a] of signs) {
            xy[i - 1]! += a * gap;
            for (const [j, b] of signs) {
                if (i <= j) xx.set(`${i} ${j}`, (xx.get(`${i} ${j}`) ?? 0) + a * b);
            }
        }
    }
    const keys = [...xx.keys()].map((key) => key.split(' ').map(Number));
    const equations: NormalEquations = {
        first: keys.map(([i]) => i!),
        second: keys.map(([, j]) => j!),
        xx: [...xx.values()],
        xy,
    };
    return { equations, yy, df: pairs.length };
}

/** Shops with 2 gauges and 5 people each; pairs within a shop, and `across` pairs between any two. */
function field(shopCount: number, perShop: number, across: number, seed: number) {
    const random = xoroshiro128plus(seed);
    const uniform = () => (random.next() >>> 0) / 2 ** 32;
    const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
    const pick = (count: number) => Math.floor(uniform() * count);
    const gaugeCount = 2 * shopCount;
    const factors = Array.from({ length: 7 * shopCount }, (_, level) => (level < gaugeCount ? 1 : 2));
    const effects = factors.map((factor) => (factor === 1 ? 0.6 : 0.3) * normal());
    const reader = (shop: number) => [1 + 2 * shop + pick(2), 1 + gaugeCount + 5 * shop + pick(5)];
    const total = (levels: number[]) => levels.reduce((sum, level) => sum + effects[level - 1]!, 0);
    const pairs = Array.from({ length: shopCount * perShop + across }, (_, k): Pair => {
        const shop = k < shopCount * perShop ? Math.floor(k / perShop) : pick(shopCount);
        const plus = reader(shop);
        const minus = reader(k < shopCount * perShop ? shop : pick(shopCount));
        return { plus, minus, gap: total(plus) - total(minus) + normal() };
    });
    return { factors, ...equationsOf(factors.length, pairs) };
}

/** The same equations with all levels joined by elements that are 0: one dense block. */
function joined({ first, second, xx, xy }: NormalEquations): NormalEquations {
    const links = xy.length - 1;
    const listed = new Set(Array.from(first, (level, k) => `${level} ${second[k]}`));
    const missing = Array.from({ length: links }, (_, k) => k + 1).filter(
        (k) => !listed.has(`${k} ${k + 1}`),
    );
    return {
        first: [...Array.from(first), ...missing],
        second: [...Array.from(second), ...missing.map((k) => k + 1)],
        xx: [...Array.from(xx), ...missing.map(() => 0)],
        xy,
    };
}

/** REML log-likelihood with the error variance profiled out, up to a constant, from the equations as one matrix. */
function logLikelihood(
    { factors, equations, yy, df }: ReturnType<typeof field>,
    ratios: readonly number[],
): number {
    const n = factors.length;
    const own = factors.map((factor) => Math.sqrt(ratios[factor - 1]!));
    const a = new Float64Array(n * n);
    Array.from(equations.xx).forEach((value, k) => {
        const [i, j] = [equations.first[k]! - 1, equations.second[k]! - 1];
        a[i * n + j] = own[i]! * value * own[j]!;
        a[j * n + i] = a[i * n + j]!;
    });
    for (let i = 0; i < n; i++) a[i * n + i]! += 1;
    const inverse = symmetricInverse(a, n);
    const scaled = own.map((root, i) => root * equations.xy[i]!);
    let explained = 0;
    for (let i = 0; i < n; i++) {
        for (let j = 0; j < n; j++) explained += scaled[i]! * inverse[i * n + j]! * scaled[j]!;
    }
    // Logarithm of the determinant by elimination.
    let logDet = 0;
    for (let k = 0; k < n; k++) {
        logDet += Math.log(a[k * n + k]!);
        for (let i = k + 1; i < n; i++) {
            const factor = a[i * n + k]! / a[k * n + k]!;
            for (let j = k; j < n; j++) a[i * n + j]! -= factor * a[k * n + j]!;
        }
    }
    return -(logDet + df * Math.log(yy - explained)) / 2;
}

describe('shops that share nothing', () => {
    const shops = field(12, 40, 0, 7);

    test('are a block each; the estimates are those of one dense block', () => {
        expect(blocksOf(shops.equations)).toHaveLength(12);
        expect(blocksOf(joined(shops.equations))).toHaveLength(1);
        const apart = reml(shops.factors, shops.equations, shops.yy, shops.df);
        const dense = reml(shops.factors, joined(shops.equations), shops.yy, shops.df);
        for (const k of [0, 1]) expect(apart.ratios[k]! / dense.ratios[k]!).toBeCloseTo(1, 9);
        expect(apart.errorVariance / dense.errorVariance).toBeCloseTo(1, 11);
        expect(apart.counts).toEqual([24, 60]);
    });

    test('predicted effects and their variances are those of one dense block', () => {
        const groups = shops.factors.map((factor, level) =>
            factor === 1 ? Math.floor(level / 2) : 100 + Math.floor((level - 24) / 5),
        );
        const variances = shops.factors.map((factor) => (factor === 1 ? 0.36 : 0.09));
        const apart = predictedEffects(shops.equations, groups, variances, 1.1);
        predictedEffects(joined(shops.equations), groups, variances, 1.1).forEach((dense, level) => {
            for (const key of ['effect', 'effectVariance', 'deviation', 'deviationVariance'] as const) {
                expect(apart[level]![key]).toBeCloseTo(dense[key]!, 11);
            }
        });
    });

    test('the estimate is a maximum of the likelihood, written down without scores or information', () => {
        const { ratios } = reml(shops.factors, shops.equations, shops.yy, shops.df);
        const best = logLikelihood(shops, ratios as number[]);
        for (const k of [0, 1]) {
            for (const step of [0.99, 1.01]) {
                const beside = ratios.map((ratio, j) => (j === k ? ratio! * step : ratio!));
                expect(logLikelihood(shops, beside)).toBeLessThan(best);
            }
        }
    });
});

test('one connected block of 700 levels: variances near those that the readings were drawn with', () => {
    const wide = field(100, 60, 3000, 11);
    expect(blocksOf(wide.equations)).toHaveLength(1);
    const { ratios, errorVariance } = reml(wide.factors, wide.equations, wide.yy, wide.df);
    // Standard errors: of a variance of 200 levels 10 % at least, of 500 levels 6 %, of the error 1.5 %.
    expect(Math.abs((ratios[0]! * errorVariance) / 0.36 - 1)).toBeLessThan(0.3);
    expect(Math.abs((ratios[1]! * errorVariance) / 0.09 - 1)).toBeLessThan(0.3);
    expect(Math.abs(errorVariance - 1)).toBeLessThan(0.06);
});

describe('where the readings tell little', () => {
    const estimated = (factors: number[], pairs: Pair[]) => {
        const { equations, yy, df } = equationsOf(factors.length, pairs);
        return reml(factors, equations, yy, df);
    };

    test('one difference of two gauges tells no variance from the error: the ratio is 0', () => {
        expect(estimated([1, 1], [{ plus: [1], minus: [2], gap: 0.2 }])).toMatchObject({
            ratios: [0, null],
            counts: [2, 0],
        });
    });

    test('equal readings: all variances 0', () => {
        const pair = { plus: [1], minus: [2], gap: 0 };
        expect(estimated([1, 1], [pair, pair])).toMatchObject({ ratios: [0, null], errorVariance: 0 });
    });

    test('no residue: a finite ratio', () => {
        const pair = { plus: [1], minus: [2], gap: 0.1 };
        const { ratios, errorVariance } = estimated([1, 1], [pair, pair, pair]);
        expect(ratios[0]).toBeGreaterThan(100);
        expect(Number.isFinite(ratios[0]! * errorVariance)).toBe(true);
        expect(ratios[0]! * errorVariance).toBeCloseTo(0.1 ** 2 / 2, 4);
    });

    test('a person for each gauge: what nobody can tell apart is shared', () => {
        const pairs = [0.5, -0.3, 0.4, 0.1, 0.6, -0.4].map((gap, k) => {
            const [a, b] = [1 + (k % 3), 1 + ((k + 1) % 3)];
            return { plus: [a, a + 3], minus: [b, b + 3], gap };
        });
        const { ratios } = estimated([1, 1, 1, 2, 2, 2], pairs);
        expect(ratios[0]).toBeCloseTo(ratios[1]!, 9);
        const alone = estimated(
            [1, 1, 1],
            pairs.map(({ plus, minus, gap }) => ({ plus: plus.slice(0, 1), minus: minus.slice(0, 1), gap })),
        );
        expect(ratios[0]! + ratios[1]!).toBeCloseTo(alone.ratios[0]!, 9);
    });
});
