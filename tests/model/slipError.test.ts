import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { chassisByName } from '../../src/stats/drift/chassis.js';
import { slipCells } from '../../src/stats/drift/slip.js';
import { slipWords } from '../../src/units/driftWords.js';

const told = (out: number, aft: number, outError: number, aftError: number, cov: number) =>
    slipWords({
        slip_out_mm: out,
        slip_aft_mm: aft,
        slip_out_std_error_mm: outError,
        slip_aft_std_error_mm: aftError,
        slip_cov_mm2: cov,
    });
const printed = (words: string) => Number(/standard error ([\d.]+)\)$/.exec(words)![1]);

test('by hand: 1 mm along a slot of 45 degrees is sqrt(1/2) mm on either axis, bound together', () => {
    const part = Math.SQRT1_2;
    expect(printed(told(3 * part, 3 * part, part, part, 0.5))).toBe(1);
    expect(printed(told(3 * part, -3 * part, part, part, -0.5))).toBe(1);
    // In a plane, along (3, 4) / 5: (9 * 4 + 16 * 1 - 2 * 12 * 1) / 25 = 28 / 25.
    expect(told(3, 4, 2, 1, -1)).toContain('5 mm');
    expect(printed(told(3, 4, 2, 1, -1))).toBeCloseTo(Math.sqrt(28 / 25), 1);
    expect(printed(told(3, 0, 0.4, 0, 0))).toBe(0.4);
    expect(printed(told(0, 0, 0.4, 0, 0))).toBe(0.4);
});

const slopes = [
    { response: 'camber_deg', slope_out: 0.09, slope_aft: 0.01 },
    { response: 'caster_deg', slope_out: 0.02, slope_aft: 0.1 },
    { response: 'sai_deg', slope_out: -0.09, slope_aft: 0 },
    { response: 'toe_deg', slope_out: -0.04, slope_aft: 0.005 },
];
const sd = { camber_deg: 0.05, caster_deg: 0.12, sai_deg: 0.12, toe_deg: 0.03 } as Record<string, number>;
const directions = [0, 45, 120, 165];
const count = 1500;

const [chassis] = chassisByName(
    slopes.map((row) => ({ chassis: 'X', var_out: 0, var_aft: 0, cov_out_aft: 0, spread_var: 0, ...row })),
).values();

test.each(['slot', 'plane'] as const)(
    'simulated slips of 4 mm scatter along themselves by the error that is printed: %s',
    (freedom) => {
        const random = new Random(4);
        for (const direction of directions) {
            const out = Math.cos((direction * Math.PI) / 180);
            const aft = Math.sin((direction * Math.PI) / 180);
            const same = Array.from({ length: count }, () => {
                const values = [0, 0, 0, 0, 0, 0, 0];
                const variances = [1, 1, 1, 1, 1, 1, 1];
                for (const [place, { response, slope_out, slope_aft }] of slopes.entries()) {
                    values[place] = 4 * (slope_out * out + slope_aft * aft) + random.normal(0, sd[response]!);
                    variances[place] = sd[response]! * sd[response]!;
                }
                const changes = { read: [0, 1, 2, 3], values, variances };
                const slot = [out, aft] as const;
                const front = {
                    chassis: chassis!,
                    freedom,
                    slot,
                    changes,
                    side: 1,
                    toePart: 0,
                    toeReadPart: 0,
                };
                return slipCells(front, 'left', 2);
            });
            const along = same.map((row) => row.slip_out_mm! * out + row.slip_aft_mm! * aft);
            const mean = along.reduce((sum, value) => sum + value, 0) / count;
            const scatter = Math.sqrt(
                along.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1),
            );
            const told = same.reduce((sum, row) => sum + printed(slipWords(row)), 0) / count;
            // Four standard errors of a standard deviation, and half a digit of what is printed.
            expect(Math.abs(scatter - told), `${direction} deg`).toBeLessThan(
                (4 * scatter) / Math.sqrt(2 * count) + 0.05,
            );
            expect(Math.abs(mean - 4), `${direction} deg`).toBeLessThan((4 * scatter) / Math.sqrt(count));
        }
    },
);
