import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { merged } from '../../src/share/merged.js';
import { mergeShares } from '../../src/share/mergeShares.js';
import { modelOf, type Rows } from '../support/memory.js';
import { type Input, pooled, type SitesBench, sitesBench } from '../support/sites.js';

let bench: SitesBench;
beforeAll(() => {
    bench = sitesBench();
});
afterAll(() => bench.close());

/** Shares of the sites, merged. */
async function joint(sites: Readonly<Record<string, Input>>): Promise<Database> {
    const files: string[] = [];
    for (const [site, input] of Object.entries(sites)) files.push(await bench.share(site, input));
    return mergeShares(files);
}

/** One front corner of a car, read before and after a move outboard and rearward; camber 0.09 deg/mm out, caster 0.1 deg/mm aft. */
function car(
    vehicle: string,
    out: number,
    aft: number,
    more: Record<string, number | string | null> = {},
): Rows {
    return ['before', 'after'].map((phase, i) => ({
        vehicle,
        chassis: 'OTTER',
        corner: 'FL',
        measured_at: `2026-01-01T1${i}:00`,
        visit: `${vehicle} 1`,
        visit_kind: 'adjust',
        phase,
        offset_out_mm: i * out,
        offset_aft_mm: i * aft,
        camber_deg: -1 + i * 0.09 * out,
        caster_deg: 6 + i * 0.1 * aft,
        toe_deg: 0.1,
        toe_reset: 'no',
        gauge: 'rack',
        ...more,
    }));
}

/** Least squares without intercept from the moments of table moves, on a grid so that order has no part in it. */
const leastSquares = `
    with moments as (
        select
            chassis,
            response,
            grid_sum(weight * move_out_mm * move_out_mm) as oo,
            grid_sum(weight * move_out_mm * move_aft_mm) as oa,
            grid_sum(weight * move_aft_mm * move_aft_mm) as aa,
            grid_sum(weight * move_out_mm * change_deg) as o,
            grid_sum(weight * move_aft_mm * change_deg) as a
        from moves
        group by chassis, response
    )
    select chassis, response, (aa * o - oa * a) / (oo * aa - oa * oa) as out, (oo * a - oa * o) / (oo * aa - oa * oa) as aft
    from moments order by chassis, response`;

describe('plain least squares', () => {
    const readings = {
        east: [...car('a', 2, 1), ...car('b', -3, 2)],
        west: car('a', 1, -4, { camber_deg: -0.7 }),
    };

    test('merged = from all moves at once = by hand', async () => {
        const db = await joint({ east: { readings: readings.east }, west: { readings: readings.west } });
        const raw = await modelOf({ readings: pooled(new Map(Object.entries(readings))) }, undefined, [
            leastSquares,
        ]);
        const found = await db.cells(leastSquares);
        expect(found).toEqual(await raw.cells(leastSquares));
        // Moves (2, 1), (-3, 2), (1, -4) change camber by 0.18, -0.27 and 0 (read as -0.7 twice), each of weight 2 * 1 * 1 / 2 = 1.
        const [oo, oa, aa] = [4 + 9 + 1, 2 - 6 - 4, 1 + 4 + 16];
        const [o, a] = [2 * 0.18 + 3 * 0.27, 0.18 - 2 * 0.27];
        const camber = found.find((row) => row.response === 'camber_deg')!;
        expect(camber.out).toBeCloseTo((aa * o - oa * a) / (oo * aa - oa * oa), 12);
        expect(camber.aft).toBeCloseTo((oo * a - oa * o) / (oo * aa - oa * oa), 12);
        db.close();
        raw.close();
    });
});

describe('caster that a site never reads', () => {
    const noCaster = { caster_deg: null };
    const turned = car('x', 4, 0, noCaster).map((row, i) => ({ ...row, toe_deg: i * 0.5 }));

    test('camber is brought to equal toe with the caster of the pooled chassis', async () => {
        const readings = { east: turned, west: [...car('y', 3, 1), ...car('z', -2, 2, { caster_deg: 7 })] };
        const db = await joint({ east: { readings: readings.east }, west: { readings: readings.west } });
        const raw = await modelOf({ readings: pooled(new Map(Object.entries(readings))) }, undefined, [
            'moves',
        ]);
        const query =
            "select move_out_mm, change_deg, equal_toe from moves where response = 'camber_deg' order by all";
        const found = await db.cells(query);
        expect(found).toEqual(await raw.cells(query));
        // Median of 6, 6.1, 7, 7.
        const caster = (6.1 + 7) / 2;
        const change = 0.36 + Math.tan((caster * Math.PI) / 180) * 0.5;
        const move = found.find((row) => row.move_out_mm === 4)!;
        expect(move.change_deg).toBeCloseTo(change, 6);
        expect(move.equal_toe).toBe('measured');
        db.close();
        raw.close();
    });

    test('without any caster in the field, camber stays as read and says so', async () => {
        const db = await joint({ east: { readings: turned }, west: { readings: car('y', 3, 0, noCaster) } });
        const found = await db.cells(
            "select move_out_mm, change_deg, equal_toe from moves where response = 'camber_deg' order by 1",
        );
        expect(found).toEqual([
            { move_out_mm: 3, change_deg: 0.27, equal_toe: 'no caster' },
            { move_out_mm: 4, change_deg: 0.36, equal_toe: 'no caster' },
        ]);
        db.close();
    });
});

describe('targets', () => {
    const goal = { camber_deg: -1, camber_tol_deg: 0.1, caster_deg: 6, caster_tol_deg: 0.5, toe_deg: 0.1 };
    const east = {
        readings: [...car('a', 2, 1), ...car('b', -3, 2)],
        targets: [{ target: 'street', ...goal }],
    };

    test('the same angles are one target under any name, and count for the cars of every site', async () => {
        const west = {
            readings: car('c', 1, -4),
            targets: [
                { target: 'road', ...goal },
                { target: 'track', camber_deg: -2 },
            ],
        };
        const db = await joint({ east, west });
        const { needs } = await merged(db);
        expect(needs).toMatchObject([
            {
                target: 'camber -1.0 ±0.1, caster 6.0 ±0.5, toe 0.1',
                corner_count: 3,
                vehicle_count: 3,
                site_count: 2,
            },
            {
                target: 'camber -2.0',
                corner_count: 3,
                vehicle_count: 3,
                site_count: 2,
                need_aft_mean_mm: null,
            },
        ]);
        db.close();
    });

    test("a site's row for a chassis stands before its row for any", async () => {
        const own = { target: 'street', ...goal, chassis: 'OTTER', caster_deg: 7 };
        const db = await joint({
            east: { ...east, targets: [...east.targets, own] },
            west: { readings: car('c', 1, -4) },
        });
        expect((await merged(db)).needs.map(({ target }) => target)).toEqual([
            'camber -1.0 ±0.1, caster 7.0 ±0.5, toe 0.1',
        ]);
        db.close();
    });
});

test('the newest state counts for each target that it can: camber alone may be newer', async () => {
    const later = {
        ...car('a', 2, 1)[1]!,
        visit: 'a 2',
        measured_at: '2026-02-01',
        offset_out_mm: 5,
        camber_deg: -0.6,
        caster_deg: null,
    };
    const readings = [...car('a', 2, 1), later, ...car('b', 1, 1)];
    const targets = [
        { target: 'camber', camber_deg: -1 },
        { target: 'both', camber_deg: -1, caster_deg: 6 },
    ];
    const db = await joint({ east: { readings, targets } });
    const query = `select goal_caster_deg, offset_out_mm, need_out_mm, need_aft_mm, noise_oo_mm2
        from needed_offsets inner join chassis_targets using (chassis, target) order by all`;
    const raw = await modelOf({ readings: pooled(new Map([['east', readings]])), targets }, 1, [query]);
    const found = await db.cells(query);
    expect(found).toEqual(await raw.cells(query));
    expect(found.map((row) => [row.goal_caster_deg, row.offset_out_mm])).toEqual([
        [6, 1],
        [6, 2],
        [null, 1],
        [null, 5],
    ]);
    db.close();
    raw.close();
});

test('a session end does not count: the plate may have slipped unseen', async () => {
    const session = car('a', 2, 1).map((row, i) => ({
        ...row,
        visit: 'run',
        visit_kind: 'session',
        measured_at: `2026-03-0${i + 1}`,
        offset_out_mm: 2,
        offset_aft_mm: 1,
        camber_deg: -0.8 + i,
    }));
    const db = await joint({
        east: { readings: [...car('a', 2, 1), ...session], targets: [{ target: 't', camber_deg: -1 }] },
    });
    expect(await db.cells('select camber_deg from states')).toEqual([{ camber_deg: -0.8 }]);
    db.close();
});

describe('cars that two sites know', () => {
    /** Forty cars whose caster per mm rearward differs from car to car. */
    const cars: Rows = Array.from({ length: 40 }, (_, i) =>
        car(`car ${i}`, (i % 7) - 3, (i % 5) + 1).map((row, k) => ({
            ...row,
            caster_deg: 6 + k * (0.1 + 0.003 * ((i * 7) % 11)) * ((i % 5) + 1),
        })),
    ).flat();
    const slopes = `select * from slopes order by chassis, response, axis`;

    let db: Database;
    beforeAll(async () => {
        db = await joint({ east: { readings: cars }, west: { readings: cars } });
    });
    afterAll(() => db.close());

    test('count as two cars each, exactly as two names would', async () => {
        const readings = new Map([
            ['east', cars],
            ['west', cars],
        ]);
        const raw = await modelOf({ readings: pooled(readings) }, undefined, ['slopes']);
        expect(await db.cells(slopes)).toEqual(await raw.cells(slopes));
        raw.close();
    });

    // A car's influence z counts as z^2 + z^2 in place of (2 z)^2.
    test('so that standard errors are too small by the root of 2 where all cars are shared', async () => {
        const again = cars.map((row) => ({ ...row, visit: `${row.visit} again` }));
        const raw = await modelOf({ readings: [...cars, ...again] }, undefined, ['slopes']);
        const query = `select std_error_deg_per_mm as std_error, vehicle_count from slopes
            where response = 'caster_deg' and axis = 'aft'`;
        const [two] = await db.cells(query);
        const [one] = await raw.cells(query);
        expect([two!.vehicle_count, one!.vehicle_count]).toEqual([80, 40]);
        expect((one!.std_error as number) / (two!.std_error as number) / Math.SQRT2).toBeCloseTo(1, 1);
        raw.close();
    });
});
