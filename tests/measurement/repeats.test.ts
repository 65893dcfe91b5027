import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { adviseNeeds } from '../../src/model/advise.js';
import { modelOf } from '../support/memory.js';

const kit = { kit: 'K', mark_pitch_mm: 2, mark_min: -5, mark_max: 5 };
const step = 0.1;

/** Cars read `times` times at one mark, noise 0.005 deg, on a display in tenths: its repeats nearly all show one digit. */
function field(times: number) {
    const random = new Random(11);
    return Array.from({ length: 40 }, (_, car) => {
        const truth = -2 + random.uniform();
        return Array.from({ length: times }, (_, repeat) => ({
            vehicle: `car ${car}`,
            chassis: 'C',
            corner: 'FL',
            measured_at: '2026-03-01',
            repeat: repeat + 1,
            visit: 'v',
            visit_kind: 'check',
            phase: 'before',
            kit: 'K',
            plate_index: 1,
            mark_1: 0,
            camber_deg: (Math.round(random.normal(truth, 0.005) / step) * step).toFixed(1),
            gauge: 'tenths',
        }));
    }).flat();
}

/** Variance of the mean of nine such repeats about the truth, by simulation. */
function trueVariance(): number {
    const random = new Random(12);
    let sum = 0;
    for (let state = 0; state < 20_000; state++) {
        const truth = -2 + random.uniform();
        let mean = 0;
        for (let repeat = 0; repeat < 9; repeat++)
            mean += (Math.round(random.normal(truth, 0.005) / step) * step) / 9;
        sum += (mean - truth) ** 2;
    }
    return sum / 20_000;
}

test('repeats that show one digit share its rounding, which averaging does not shrink', async () => {
    const db = await modelOf({ readings: field(9), kits: [kit] }, 1, [
        ...adviseNeeds,
        'readers',
        'reader_noise',
    ]);
    const [row] = await db.cells(
        `select
            avg(camber_var_deg2) as asked,
            (
                select avg(mean_var(read_var_deg2, shared_var_deg2, camber_count))
                from states
                inner join readers using (gauge)
                inner join reader_noise using (reader)
                where response = 'camber_deg'
            ) as state
        from asked_corners((select list(distinct vehicle) from present_corners), null, null)`,
    );
    db.close();
    const truth = trueVariance();
    expect(truth).toBeGreaterThan(0.6 * (step ** 2 / 12));
    expect(Number(row!.state) / truth).toBeGreaterThan(0.9);
    expect(Number(row!.state) / truth).toBeLessThan(1.6);
    // Set-up and bias, which no repeat of one mounting shows, come on top.
    expect(Number(row!.asked)).toBeGreaterThan(Number(row!.state));
});
