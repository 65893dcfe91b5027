import { expect, test } from 'vitest';
import { connected } from '../../src/stats/connected.js';
import { symmetricInverse } from '../../src/stats/symmetricInverse.js';

const hilbert = (n: number) =>
    Float64Array.from({ length: n * n }, (_, k) => 1 / (Math.floor(k / n) + (k % n) + 1));

test('inverse of the Hilbert matrix of order 4: whole numbers known in closed form (Choi 1983, Amer. Math. Monthly 90, 301-312; from memory)', () => {
    const inverse = [
        16, -120, 240, -140, -120, 1200, -2700, 1680, 240, -2700, 6480, -4200, -140, 1680, -4200, 2800,
    ];
    symmetricInverse(hilbert(4), 4).forEach((value, k) => {
        expect(Math.abs(value / inverse[k]! - 1)).toBeLessThan(1e-10);
    });
});

test('one row, no row, and a matrix that is not positive definite', () => {
    expect([...symmetricInverse(Float64Array.of(4), 1)]).toEqual([0.25]);
    expect(symmetricInverse(new Float64Array(), 0)).toHaveLength(0);
    expect(symmetricInverse(Float64Array.of(1, 2, 2, 1), 2).every(Number.isNaN)).toBe(true);
});

test('connected sets: a chain, a pair given backwards, a node alone; the order of the edges does not matter', () => {
    const [first, second] = [
        [5, 7, 1, 3],
        [3, 6, 3, 4],
    ];
    const sets = [1, 2, 1, 1, 1, 6, 6];
    expect(connected(7, first!, second!)).toEqual(sets);
    expect(connected(7, [...second!].reverse(), [...first!].reverse())).toEqual(sets);
    expect(connected(0, [], [])).toEqual([]);
});
