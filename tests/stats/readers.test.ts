import { expect, test } from 'vitest';
import { angles, Readers } from '../../src/stats/drift/readers.js';

/** Numbers of readers are hashes of 52 bits: products of them are no longer exact. */
const numbers = [4503599627370490, 4503599627370491, 4503599627370492, -7];

const noise = numbers.flatMap((reader, i) =>
    angles.map((response) => ({
        reader,
        response,
        read_var_deg2: 0.01,
        one_var_deg2: 0.01,
        shared_var_deg2: 0.002,
        set_up_var_deg2: 0.003,
        set_up_source: 'visits',
        bias_deg: i / 10,
        bias_var_deg2: 0.001,
    })),
);
const biases = [
    {
        reader_1: numbers[0]!,
        reader_2: numbers[1]!,
        response: 'camber_deg',
        step_deg: 0.05,
        step_var_deg2: 1e-4,
    },
    {
        reader_1: numbers[0]!,
        reader_2: numbers[2]!,
        response: 'camber_deg',
        step_deg: 0.07,
        step_var_deg2: 2e-4,
    },
];
const sessions = angles.map((response) => ({ response, session_var_deg2: 0.004, pair_count: 3 }));

test('each pair of readers has its own step, whatever their numbers; others have the difference of their biases', () => {
    const readers = new Readers({ reader_noise: noise, reader_biases: biases, session_vars: sessions });
    const [a, b, c, d] = numbers.map((number) => readers.placeOf(number)) as [number, number, number, number];
    expect(readers.step(a, b, 0)).toEqual({ step: 0.05, variance: 1e-4 });
    expect(readers.step(b, a, 0)).toEqual({ step: -0.05, variance: 1e-4 });
    expect(readers.step(a, c, 4)).toEqual({ step: 0.07, variance: 2e-4 });
    expect(readers.step(b, c, 0).step).toBeCloseTo(0.1, 12);
    expect(readers.step(a, d, 1).step).toBeCloseTo(0.3, 12);
    expect(readers.variance(a, 0, 2, true)).toBeCloseTo(0.002 + 0.008 / 2 + 0.002, 12);
});
