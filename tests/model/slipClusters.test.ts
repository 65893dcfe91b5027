import { afterAll, beforeAll, expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { Database } from '../../src/db/database.js';
import type { Cell } from '../../src/db/values.js';
import { createCalled, createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { modelTable } from '../support/modelTable.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    await createFunctions(db);
    await db.run(`create table sessions (session varchar, vehicle varchar, surface varchar, distance_km double);
        create table kits (kit varchar, bearing varchar);
        insert into kits values ('A', 'isolated_ball'), ('B', 'solid_spherical')`);
});
afterAll(() => db.close());

/** Twenty-four cars in two kits, twelve each, ten sessions of two fronts; `rate`: slips per corner session of a car. */
async function season(seed: number, rate: (car: number, kit: 'A' | 'B', random: Random) => number) {
    const random = new Random(seed);
    const rows: Record<string, Cell>[] = [];
    for (let car = 0; car < 24; car++) {
        const kit = car % 2 === 0 ? 'A' : 'B';
        const own = rate(car, kit, random);
        for (let session = 0; session < 10; session++) {
            for (const corner of ['FL', 'FR']) {
                const slipped = random.chance(own);
                rows.push({
                    vehicle: `car ${car}`,
                    session: `${session}`,
                    corner,
                    kit,
                    plate_index: 1,
                    p_plate_moved: slipped ? 0.9 + 0.1 * random.uniform() : 0.02 * random.uniform(),
                    verdict: slipped ? 'plate_moved' : 'held',
                });
            }
        }
    }
    await db.run('drop table if exists drift; drop table if exists slip_rates');
    await modelTable(db, 'drift', rows);
    for (const model of modelFiles()) {
        if (model.table === 'slip_rates') await buildTable(db, model);
    }
    await createCalled(db, ['slip_contrasts']);
    const [all] = await db.cells(
        `select *, clopper_pearson_high(expected_slip_count, corner_session_count)
            - clopper_pearson_low(expected_slip_count, corner_session_count) as plain_length
        from slip_rates where factor = 'all'`,
    );
    const contrasts = await db.cells('select * from slip_contrasts() order by factor');
    return { all: all as Record<string, number>, contrasts: contrasts as Record<string, number | string>[] };
}

test('one badly bolted car of twelve does not make two like kits differ', async () => {
    let different = 0;
    for (let seed = 1; seed <= 20; seed++) {
        const { contrasts } = await season(seed, (car) => (car === 4 ? 0.5 : 0.02));
        if (contrasts.some(({ p_value }) => Number(p_value) < 0.05)) different++;
    }
    expect(different).toBeLessThanOrEqual(1);
});

test('a kit that slips in every car is found, and each pair counts once for the adjustment', async () => {
    for (let seed = 1; seed <= 5; seed++) {
        const { contrasts } = await season(seed, (_, kit) => (kit === 'A' ? 0.2 : 0.02));
        // Kits and bearings are the same corner sessions.
        expect(contrasts.map(({ factor }) => factor)).toEqual(['bearing', 'kit']);
        for (const row of contrasts) {
            expect(row.p_value as number).toBeLessThan(0.05);
            expect(row.p_adjusted_holm).toBeCloseTo(row.p_value as number, 12);
            expect(row.rate_ratio as number).toBeGreaterThan(3);
        }
    }
});

test('slips that know no car: intervals within 10 % as short as without clusters', async () => {
    let [length, plain] = [0, 0];
    for (let seed = 1; seed <= 12; seed++) {
        const { all } = await season(seed, () => 0.06);
        expect(all.car_count).toBe(24);
        length += all.per_session_high! - all.per_session_low!;
        plain += all.plain_length!;
    }
    expect(length / plain).toBeLessThan(1.1);
});
