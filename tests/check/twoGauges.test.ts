import { expect, test } from 'vitest';
import { createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { corner, kit, type Row, type Stand, soundCars } from '../support/linear.js';
import { emptyDatabase, modelOf } from '../support/memory.js';
import { modelTable } from '../support/modelTable.js';

const stands: Stand[] = [
    { phase: 'before', mark: -3 },
    { phase: 'moved', mark: 2 },
    { phase: 'after', mark: 3 },
];
const above = (row: Row): Row => ({
    ...row,
    gauge: 'rack B',
    camber_deg: (row.camber_deg as number) + 0.8,
    caster_deg: (row.caster_deg as number) + 0.8,
});

/** Both racks read the rear of each car: B is 0.8 deg above A, in caster too, which nobody would read there but for this. */
const compared = [1, 2, 3, 4, 5, 6, 7, 8].flatMap((car) => {
    const name = { vehicle: `C sound ${car}`, chassis: 'C', visit: 'v0', corner: 'RL' };
    const [row] = corner(name, [{ phase: 'before', mark: null }]);
    const read = { ...row!, visit_kind: 'check', measured_at: '2026-03-01T09:00' };
    return [
        { ...read, repeat: 1 },
        { ...above(read), repeat: 2 },
    ];
});
const twoGauges = ['FL', 'FR'].flatMap((side) =>
    corner({ vehicle: 'two gauges', chassis: 'C', visit: 'v1', corner: side }, stands).map((row) =>
        row.phase === 'before' ? row : above(row),
    ),
);
const mistaken = corner({ vehicle: 'mistaken', chassis: 'C', visit: 'v1', corner: 'FL' }, stands).map(
    (row) => (row.phase === 'after' ? { ...row, caster_deg: (row.caster_deg as number) + 2 } : row),
);

test('a move that two gauges read is no mistake where the step between them is known; a mistyped one is', async () => {
    const readings = [...soundCars('C'), ...compared, ...twoGauges, ...mistaken];
    const only = { only: 'downweighted_moves' };
    const db = await modelOf({ readings, kits: [kit] }, 1, checkNeeds(only));
    const { rows } = await check(db, only);
    db.close();
    const found = rows.filter(
        ({ check: name, p_mistake }) => name === 'downweighted_moves' && p_mistake! >= 0.5,
    );
    expect([...new Set(found.map(({ vehicle }) => vehicle))]).toEqual(['mistaken']);
});

test('between visits at least what set-ups and gauges of the field differ by is expected', async () => {
    const spreads = async (set_up_var_deg2: number) => {
        const db = await emptyDatabase();
        await createFunctions(db);
        const rows = ['camber_deg', 'caster_deg', 'sai_deg'].map((response) => ({
            gauge: null,
            response,
            set_up_var_deg2,
        }));
        await modelTable(db, 'set_ups', rows);
        await modelTable(
            db,
            'session_vars',
            rows.map(({ response }) => ({ response, session_var_deg2: 0.04 })),
        );
        await modelTable(db, 'gauge_variances', [
            { response: 'camber_deg', used_gauge_var: 0.01, used_technician_var: 0 },
        ]);
        for (const model of modelFiles())
            if (['angle_priors', 'check_spreads'].includes(model.table)) await buildTable(db, model);
        const [row] = await db.cells('select * from check_spreads');
        db.close();
        return row!;
    };
    expect(await spreads(0.06 * 0.06)).toMatchObject({
        camber_visit_var_deg2: 0.15 * 0.15,
        caster_visit_var_deg2: 0.25 * 0.25,
    });
    const rough = await spreads(0.2 * 0.2);
    expect(rough.camber_visit_var_deg2).toBeCloseTo(0.2 * 0.2 + 0.01, 12);
    // Caster was never compared: 0.15 deg between gauges are expected (sql/gauges/angle_priors).
    expect(rough.caster_visit_var_deg2).toBeCloseTo(0.2 * 0.2 + 0.15 * 0.15, 12);
});

test.each([
    [
        'the gauge is mounted anew: the included angle may read otherwise by as much as over the others',
        'rack A',
    ],
    ['another gauge may read, 0.8 deg above: that is no jump', 'rack B'],
])('over a session %s', async (_, gauge) => {
    const stands: Stand[] = [
        { phase: 'before', mark: 3 },
        { phase: 'after', mark: 3 },
    ];
    const sessions = Array.from({ length: 32 }, (_, i) => {
        const name = { vehicle: `C sound ${1 + (i % 8)}`, chassis: 'C', visit: `run ${i}`, corner: 'FL' };
        const step = i === 3 ? 1.2 : ((i % 5) - 2) * 0.09;
        const rows = corner(name, stands, { visit_kind: 'session', measured_at: `2026-05-${10 + (i % 20)}` });
        return rows.flatMap((row) => {
            const other = row.phase === 'after' && i % 2 === 1;
            const bias = other && gauge === 'rack B' ? 0.8 : 0;
            const sai = (row.sai_deg as number) + (row.phase === 'after' ? step : 0) + bias;
            const read = { ...row, gauge: other ? gauge : 'rack A' };
            return [
                { ...read, repeat: 1, sai_deg: sai - 0.02 },
                { ...read, repeat: 2, sai_deg: sai + 0.02 },
            ];
        });
    }).flat();
    const only = { only: 'included_angle_jump' };
    const db = await modelOf(
        { readings: [...soundCars('C'), ...sessions], kits: [kit] },
        1,
        checkNeeds(only),
    );
    const { rows } = await check(db, only);
    db.close();
    expect(rows.map(({ visit }) => visit)).toEqual(['run 3']);
});

test('over a session a tilted reference does not look like exchanged sides', async () => {
    const stands: Stand[] = [
        { phase: 'before', mark: 3 },
        { phase: 'after', mark: 3 },
    ];
    const sessions = Array.from({ length: 32 }, (_, i) =>
        ['FL', 'FR'].flatMap((side) => {
            const name = { vehicle: `C sound ${1 + (i % 8)}`, chassis: 'C', visit: `run ${i}`, corner: side };
            const tilt = (side === 'FL' ? 1 : -1) * (i === 3 ? 0.6 : ((i % 5) - 2) * 0.15);
            const told = { visit_kind: 'session', measured_at: `2026-05-${10 + (i % 20)}` };
            return corner(name, stands, told).flatMap((row) => {
                const sign = row.phase === 'after' ? 1 : -1;
                const caster_deg = (row.caster_deg as number) + sign * tilt;
                const sai_deg = (row.sai_deg as number) - sign * tilt;
                return [1, 2].map((repeat) => ({
                    ...row,
                    repeat,
                    caster_deg,
                    sai_deg: sai_deg + 0.04 * repeat,
                }));
            });
        }),
    ).flat();
    const only = { only: 'swapped_sides' };
    const db = await modelOf(
        { readings: [...soundCars('C'), ...sessions], kits: [kit] },
        1,
        checkNeeds(only),
    );
    const { rows } = await check(db, only);
    db.close();
    expect(rows).toEqual([]);
});
