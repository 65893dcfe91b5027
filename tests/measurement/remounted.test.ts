import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { gauges } from '../../src/model/gauges.js';
import { modelOf } from '../support/memory.js';

/** 150 cars in a visit each, one gauge, two mountings of two repeats; repeat noise 0.02 deg, set-ups of `setUp` deg. */
function readings(setUp: number, remounted: boolean) {
    const random = new Random(31);
    return Array.from({ length: 150 }, (_, car) =>
        [0, 1].flatMap((mounting) => {
            const off = random.normal(0, setUp);
            return [1, 2].map((n) => ({
                vehicle: `car ${car}`,
                chassis: 'X',
                corner: 'FL',
                measured_at: '2026-01-01',
                visit: `visit ${car}`,
                visit_kind: 'check',
                phase: 'before',
                repeat: 2 * mounting + n,
                remounted: remounted ? (mounting === 1 && n === 1 ? 'yes' : 'no') : null,
                gauge: 'rack',
                camber_deg: Math.round(1000 * (-1 + off + random.normal(0, 0.02))) / 1000,
            }));
        }),
    ).flat();
}

async function told(setUp: number, remounted: boolean) {
    const db = await modelOf({ readings: readings(setUp, remounted) }, 1, [
        'gauges',
        'gauge_pairs',
        'gauge_tolerances',
        'gauge_references',
    ]);
    const { rows, notes } = await gauges(db);
    db.close();
    return { row: rows.find(({ response }) => response === 'camber_deg')!, notes: notes.join(' ') };
}

// 150 gaps: a standard deviation scatters by 6 %.
test.each([0.03, 0.1])(
    'repeats over a mounting tell of a set-up of %f deg and leave it out of the repeatability',
    async (setUp) => {
        const { row, notes } = await told(setUp, true);
        expect(row.set_up_source).toBe('visits');
        expect(row.set_up_pair_count).toBe(150);
        // Of floor and rake, which no mounting tells of, half of the variance of 0.06 deg is expected.
        const mounting = Math.sqrt(row.set_up_deg! * row.set_up_deg! - 0.06 ** 2 / 2);
        expect(Math.abs(mounting / setUp - 1)).toBeLessThan(0.15);
        expect(row.set_up_low_deg!).toBeLessThan(setUp);
        expect(row.set_up_high_deg!).toBeGreaterThan(setUp);
        expect(row.df).toBe(300);
        expect(Math.abs(row.repeatability_deg! / 0.02 - 1)).toBeLessThan(0.1);
        expect(notes).not.toContain('Never repeated over a mounting');
    },
);

test('where nobody says that the gauge was mounted anew, the prior stands in and is said to', async () => {
    const { row, notes } = await told(0.03, false);
    expect(row).toMatchObject({ set_up_source: 'prior', set_up_pair_count: 0, df: 450 });
    expect(row.set_up_deg).toBeCloseTo(0.06, 9);
    expect(notes).toContain('Never repeated over a mounting: camber');
    expect(notes).toContain('remounted yes');
});
