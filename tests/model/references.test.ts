import { expect, test } from 'vitest';
import { gauges, gaugesNeeds } from '../../src/model/gauges.js';
import { modelOf, type Rows } from '../support/memory.js';

const reading = {
    vehicle: 'A',
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-01-01',
    visit: 'v',
    visit_kind: 'check',
    phase: 'before',
    camber_deg: -1.03,
    gauge: 'g',
};
const reference = {
    gauge: 'g',
    angle: 'camber',
    measured_at: '2026-02-01',
    reference_deg: -1,
    reference_uncertainty_deg: 0.02,
    reading_deg: -0.9,
};

async function told(references: Rows, readings: Rows = []) {
    const db = await modelOf({ references, readings }, 1, ['gauge_references', 'reading_noise']);
    const rows = await db.cells(
        `select gauge, response, error_deg, sqrt(error_var_deg2) as sd_deg, df, reading_count, reference_count,
            first_on, last_on, reason
        from gauge_references order by all`,
    );
    const [noise] = await db.cells(
        "select sd_deg, shared_var_deg2 from reading_noise where gauge is null and response = 'camber_deg'",
    );
    db.close();
    return { rows, noise };
}

test('no reference, no row; one reading alone has no standard error where nothing tells of repeats', async () => {
    expect((await told([])).rows).toEqual([]);
    const { rows, noise } = await told([reference]);
    const alone = {
        gauge: 'g',
        response: 'camber_deg',
        error_deg: 0.1,
        df: 0,
        reading_count: 1,
        reference_count: 1,
    };
    const days = { first_on: '2026-02-01', last_on: '2026-02-01' };
    if (noise === undefined) {
        expect(rows).toMatchObject([
            { ...alone, ...days, sd_deg: null, reason: expect.stringContaining('repeat') },
        ]);
    } else {
        const sd_deg = Math.sqrt(0.0004 + (noise.sd_deg as number) * (noise.sd_deg as number));
        expect(rows).toMatchObject([{ ...alone, ...days, reason: null }]);
        expect(rows[0]!.sd_deg).toBeCloseTo(sd_deg, 9);
    }
});

// GUM (JCGM 100:2008) 4.2.3, 4.3 and 5.1.2, from memory: u2 = s2 / n + u2 of the reference.
test('repeats shrink the part of the gauge, not that of the reference', async () => {
    const of = (readings: readonly number[], more: object = {}) =>
        readings.map((reading_deg, n) => ({ ...reference, ...more, repeat: n + 1, reading_deg }));
    const four = [-0.92, -0.88, -0.9, -0.9];
    const { rows, noise } = await told(of(four), [{ ...reading, gauge: 'h' }]);
    const pooled = (0.0008 + 4 * (noise!.sd_deg as number) * (noise!.sd_deg as number)) / 7;
    const shared = noise!.shared_var_deg2 as number;
    expect(rows).toMatchObject([
        { error_deg: 0.1, df: 3, reading_count: 4, reference_count: 1, reason: null },
    ]);
    expect(rows[0]!.sd_deg).toBeCloseTo(Math.sqrt(0.0004 + shared + (pooled - shared) / 4), 9);

    // A second reference has an error of its own: two that agree halve the variance, two that differ do not.
    const both = [...of(four, { reference: 'a' }), ...of(four, { reference: 'b' })];
    const agreed = await told(both, [{ ...reading, gauge: 'h' }]);
    expect(agreed.rows).toMatchObject([{ error_deg: 0.1, reading_count: 8, reference_count: 2, df: 6 }]);
    const apart = [...of(four, { reference: 'a' }), ...of(four, { reference: 'b', reference_deg: -1.2 })];
    const differed = await told(apart, [{ ...reading, gauge: 'h' }]);
    expect(differed.rows).toMatchObject([{ error_deg: 0.2 }]);
    // Birge: half of the difference of two, as the standard error of their mean.
    expect(differed.rows[0]!.sd_deg).toBeCloseTo(0.1, 9);
    expect(agreed.rows[0]!.sd_deg as number).toBeLessThan((rows[0]!.sd_deg as number) / 1.4);
});

test('over 400 gauges of a known error, 95 % intervals hold it', async () => {
    let seed = 41;
    const random = () => {
        seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
        return (seed + 0.5) / 4294967296;
    };
    const normal = () => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
    const truth = new Map<string, number>();
    const rows = Array.from({ length: 400 }, (_, n) => {
        const gauge = `g${n}`;
        const bias = 0.08 * normal();
        truth.set(gauge, bias);
        return ['a', 'b'].flatMap((piece) => {
            const certified = 0.015 * normal();
            return [1, 2, 3].map((repeat) => ({
                ...reference,
                gauge,
                reference: piece,
                repeat,
                reference_deg: -1,
                reference_uncertainty_deg: 0.015,
                reading_deg: -1 + certified + bias + 0.04 * normal(),
            }));
        });
    }).flat();
    const found = await told(rows);
    expect(found.rows).toHaveLength(400);
    const inside = found.rows.filter(({ gauge, error_deg, sd_deg }) => {
        const off = (error_deg as number) - truth.get(gauge as string)!;
        return Math.abs(off) <= 1.96 * (sd_deg as number);
    }).length;
    expect(inside / 400).toBeGreaterThan(0.93);
    expect(inside / 400).toBeLessThan(0.995);
});

test('gauges tells it beside the bias, null with a reason where no reference was read', async () => {
    const db = await modelOf(
        {
            readings: [reading, { ...reading, visit: 'w', gauge: 'h' }],
            references: [
                { ...reference, repeat: 1 },
                { ...reference, measured_at: '2026-03-01', reading_deg: -0.92 },
                { ...reference, gauge: 'z' },
            ],
        },
        1,
        gaugesNeeds,
    );
    const { rows, notes } = await gauges(db);
    db.close();
    expect(
        rows.map(({ name, reference_error_deg, reference_reading_count }) => [
            name,
            reference_error_deg,
            reference_reading_count,
        ]),
    ).toEqual([
        ['g', 0.09, 2],
        ['h', null, 0],
    ]);
    expect(rows[0]).toMatchObject({
        reference_first_on: '2026-02-01',
        reference_last_on: '2026-03-01',
        reference_missing: null,
    });
    expect(rows[0]!.reference_std_error_deg).toBeGreaterThan(0.02);
    expect(rows[1]!.reference_missing).toContain('no file of references');
    const text = notes.join(' ');
    expect(text).toMatch(
        /g reads camber 0\.090 deg above the references \(standard error 0\.\d+; 2 readings, 2026-02-01 to 2026-03-01\)/,
    );
    expect(text).toContain('z: read on references, but no reading names it.');
    expect(text).toContain('no reference was read for h (camber)');
    expect(text).not.toContain('nothing here knows the true angle');
});
