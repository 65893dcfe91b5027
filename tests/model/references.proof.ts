import { expect, test } from 'vitest';
import { advise, adviseNeeds } from '../../src/model/advise.js';
import { ensureModel } from '../../src/model/build.js';
import { gauges, gaugesNeeds } from '../../src/model/gauges.js';
import { measuredField, referencesOf } from '../support/measuredFields.js';
import { insertRows, modelOf, type Rows } from '../support/memory.js';

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
        /z reads camber 0\.100 deg above the references \(.*\), g 0\.090 above \(standard error 0\.\d+; 2 readings, 2026-02-01 to 2026-03-01\)\./,
    );
    expect(text).toContain('z: read on references, but no reading names it.');
    expect(text).toContain('no reference was read for h (camber)');
    expect(text).not.toContain('nothing here knows the true angle');
});

/** Twelve cars that gauge g reads 0.05 deg above h, each with a part of 0.01 deg of its own; w reads another car alone. */
const pairs = Array.from({ length: 12 }, (_, n) => {
    const of = (gauge: string, repeat: number, camber_deg: number) => ({
        ...reading,
        vehicle: `car ${n}`,
        visit: `car ${n}`,
        gauge,
        repeat,
        camber_deg,
    });
    const part = n % 2 === 0 ? 0.005 : -0.005;
    return [of('g', 1, -1 + part), of('g', 2, -1 - part), of('h', 3, -1.05 - part), of('h', 4, -1.05 + part)];
}).flat();

async function biasOf(readings: Rows, references: Rows) {
    const db = await modelOf({ readings, references }, 1, ['gauges']);
    const rows = await db.cells(
        `select name, true_bias_deg, true_bias_std_error_deg from gauges
        where kind = 'gauge' and response = 'camber_deg' order by name`,
    );
    db.close();
    return Object.fromEntries(
        rows.map((row) => [
            row.name,
            { bias: row.true_bias_deg as number, error: row.true_bias_std_error_deg as number },
        ]),
    );
}

test('a reference replaces what is expected of the bias of its gauge, and tells of those it was compared with', async () => {
    const readings = [...pairs, { ...reading, vehicle: 'alone', visit: 'alone', gauge: 'w' }];
    const three = [1, 2, 3].map((repeat) => ({
        ...reference,
        repeat,
        reading_deg: -0.9,
        reference_uncertainty_deg: 0.001,
    }));
    const before = await biasOf(readings, []);
    // 0.05 deg between gauges is expected (sql/gauges/angle_priors): nobody knows the truth.
    for (const gauge of ['g', 'h']) expect(before[gauge]!.error).toBeGreaterThan(0.03);
    const after = await biasOf(readings, three);
    expect(after.g!.error).toBeLessThan(0.02);
    expect(after.h!.error).toBeLessThan(0.03);
    expect(after.g!.bias).toBeGreaterThan(0.08);
    expect(after.g!.bias).toBeLessThan(0.1);
    expect(Math.abs(after.g!.bias - after.h!.bias - 0.05)).toBeLessThan(0.005);
    expect(after.w).toEqual(before.w);

    // A gauge that was never compared: normal prior and normal error, by hand.
    const alone = await biasOf(
        [{ ...reading, gauge: 'w' }],
        three.map((row) => ({ ...row, gauge: 'w' })),
    );
    const db = await modelOf({ readings: [{ ...reading, gauge: 'w' }], references: three }, 1, [
        'gauge_references',
    ]);
    const [told] = await db.cells('select error_var_deg2 from gauge_references');
    db.close();
    const errorVar = told!.error_var_deg2 as number;
    expect(alone.w!.bias).toBeCloseTo((0.1 * 0.0025) / (0.0025 + errorVar), 9);
    expect(alone.w!.error).toBeCloseTo(Math.sqrt(1 / (1 / 0.0025 + 1 / errorVar)), 9);
});

test('who read the reference shares in its error: one person who reads the cars too, and a stranger', async () => {
    const own = (technician: string) =>
        [1, 2, 3].map((repeat) => ({ ...reference, repeat, reference_uncertainty_deg: 0.001, technician }));
    const readings = [{ ...reading, technician: 'ana' }];
    const known = await biasOf(readings, own('ana'));
    const unknown = await biasOf(readings, own('ben'));
    // With gauge and person each read by nobody else, only their sum counts: 0.05 and 0.025 deg (sql/gauges/angle_priors).
    expect(known.g!.bias).toBeGreaterThan(unknown.g!.bias);
    expect(known.g!.error).toBeLessThan(unknown.g!.error);
    expect(unknown.g!.error).toBeGreaterThan(0.025);
});

test('advise names the unknown bias of the gauge as the largest part until a reference tells it; verdicts get surer', async () => {
    const options = { seed: 5, cars: 8, gauges: 1, setUp: 0 };
    const field = measuredField(options);
    const { readings, kits, targets } = field;
    const needs = [...adviseNeeds, 'judged_settings'];
    const db = await modelOf({ readings, kits, targets }, 1, needs);
    const ask = async () => {
        const { rows, notes } = await advise(db, { vehicle: 'car 1', targets: ['street'] });
        const [judged] = await db.cells(
            "select avg(u_deg) as u_deg from judged_settings(1.65) where response = 'camber_deg'",
        );
        return { row: rows[0]!, text: notes.join(' '), u_deg: judged!.u_deg as number };
    };
    const before = await ask();
    await insertRows(db, 'references', referencesOf(field, options));
    await ensureModel(db, needs);
    const after = await ask();
    db.close();
    expect(before.text).toContain('of camber is what the gauge adds and nobody knows');
    expect(after.text).not.toContain('what the gauge adds and nobody knows');
    expect(after.u_deg).toBeLessThan(0.8 * before.u_deg);
    expect(after.row.camber_high_deg! - after.row.camber_low_deg!).toBeLessThan(
        0.8 * (before.row.camber_high_deg! - before.row.camber_low_deg!),
    );
});
