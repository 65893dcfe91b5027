import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { categories } from '../../src/stats/drift/categories.js';
import { Cause, Evidence, LogSum, Sizes, type Vector, vector } from '../../src/stats/drift/gaussian.js';

/** -2 ln density of N(`mean`, `covariance`) at `y`, without n ln 2 pi: by elimination, nothing integrated in closed form. */
function deviance(y: readonly number[], mean: readonly number[], covariance: readonly (readonly number[])[]) {
    const rows = covariance.map((row, i) => [...row, y[i]! - mean[i]!]);
    const residual = rows.map((row) => row.at(-1)!);
    let logDet = 0;
    for (const [i, row] of rows.entries()) {
        logDet += Math.log(row[i]!);
        for (const [k, other] of rows.entries()) {
            if (k === i) continue;
            const factor = other[i]! / row[i]!;
            for (let j = i; j < row.length; j++) other[j]! -= factor * row[j]!;
        }
    }
    return rows.reduce((sum, row, i) => sum + (residual[i]! * row.at(-1)!) / row[i]!, logDet);
}

const random = new Random(3);
const some = (sd: number): Vector =>
    vector(...(Array.from({ length: 6 }, () => random.normal(sd)) as [number, number, number, number]));
const positive = (scale: number): Vector => some(scale).map((value) => value * value + 1e-4);

test.each([
    ['all read', [0, 1, 2, 3, 4, 5]],
    ['camber and toe', [0, 3]],
    ['camber alone', [0]],
    ['nothing read', []],
])('evidence is that of the dense normal density: %s', (_, read) => {
    for (let trial = 0; trial < 20; trial++) {
        const changes = { read, values: some(0.5), variances: positive(0.1) };
        const cause = new Cause(
            some(0.1),
            trial % 2 ? some(0.1) : vector(0, 0, 0, 0),
            positive(0.02),
            positive(0.1),
        );
        const [mean, sd, square] = [[random.normal(3), random.normal(3)] as const, 0.7, 4];
        const effects = [some(1), some(1)];
        const more = positive(0.1);
        const found = new Evidence();
        found.take(changes, cause, new Sizes([[0, 0], mean], [0.5, 0.5], sd * sd, square), effects, more);
        for (const z of [0, -0.4, 1.3]) {
            for (const [e, effect] of effects.entries()) {
                const covariance = read.map((i) =>
                    read.map(
                        (j) =>
                            sd *
                                sd *
                                (cause.first[i]! * cause.first[j]! + cause.second[i]! * cause.second[j]!) +
                            (i === j
                                ? changes.variances[i]! +
                                  cause.misread[i]! +
                                  square * cause.unknown[i]! +
                                  more[i]!
                                : 0),
                    ),
                );
                const means = read.map(
                    (i) => cause.first[i]! * mean[0] + cause.second[i]! * mean[1] + effect[i]! * z,
                );
                const dense = deviance(
                    read.map((i) => changes.values[i]!),
                    means,
                    covariance,
                );
                const own =
                    found.deviances[1]! - 2 * z * found.linears[e]![1]! + z * z * found.quadratics[e]!;
                expect(Math.abs(own - dense)).toBeLessThan(1e-8 * Math.max(1, Math.abs(dense)));
            }
        }
    }
});

test('sums of exponentials far beyond what a double holds', () => {
    const sum = new LogSum();
    expect(sum.log).toBe(Number.NEGATIVE_INFINITY);
    for (const [log, weight] of [
        [-2000, 0.5],
        [1000, 0.25],
        [1000, 0.75],
    ] as const)
        sum.add(log, weight);
    expect(sum.log).toBeCloseTo(1000, 12);
});

test('that a corner held comes first; slips are those of the plate; every car component has its cause', () => {
    const { corner, slips, car, carGroups, rears } = categories;
    expect(corner[0]).toMatchObject({ cause: 'held', size: 1 });
    expect(slips.map((place) => corner[place]!.cause)).toEqual(Array(6).fill('plate_slipped'));
    const components = carGroups.flatMap((group) => group.components);
    expect(new Set(components.map(({ place }) => place)).size).toBe(car.length);
    for (const { rear } of components) if (rear !== null) expect(rears[rear]).toBeDefined();
});
