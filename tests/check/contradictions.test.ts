import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CheckRow } from '../../src/contracts/results/check.js';
import type { Database } from '../../src/db/database.js';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { corner, kit, type Row, type Stand } from '../support/linear.js';
import { modelOf } from '../support/memory.js';

// One car per case, each beside a sound one: checks of what the record says by itself, without any statistics.
const stands: Stand[] = [
    { phase: 'before', mark: 1 },
    { phase: 'after', mark: 3 },
];
const on = (vehicle: string, more: Row = {}, visit = 'v1', states = stands) =>
    corner({ vehicle, chassis: 'X', visit, corner: 'FL' }, states, { target: 'street', ...more });

function changed(rows: Row[], phase: string, change: Row): Row[] {
    return rows.map((row) => (row.phase === phase ? { ...row, ...change } : row));
}

const readings: Row[] = [
    ...[1, 2, 3, 4, 5].flatMap((n) => on(`sound ${n}`)),
    ...on('no target', { target: null }),
    ...on('no after').filter(({ phase }) => phase === 'before'),
    ...on('looked at', { visit_kind: 'check' }).filter(({ phase }) => phase === 'before'),
    ...on('at the end', {}, 'v1', [
        { phase: 'before', mark: 1 },
        { phase: 'after', mark: 5 },
    ]),
    ...on('new gauge', { gauge: 'rakc A' }),
    ...changed(on('backwards'), 'after', { measured_at: '2026-03-02T07:00' }),
    ...on('same day', { measured_at: '2026-03-02' }),
    ...on('overlap', {}, 'v1'),
    ...on('overlap', {}, 'v2').map((row) => ({ ...row, measured_at: '2026-03-02T09:30' })),
    ...on('in a row', {}, 'v1'),
    ...on('in a row', {}, 'v2').map((row) => ({ ...row, measured_at: '2026-03-02T10:00' })),
    ...changed(on('mistyped target'), 'after', { target: 'steret' }),
    ...on('unknown kit', { kit: 'AMBRE-3' }),
    ...on('four', { plate_index: 4 }),
    ...changed(on('beyond'), 'after', { mark_1: 6 }),
    ...changed(on('one scale'), 'after', { mark_2: 1 }),
    ...on('session', { visit_kind: 'session', session: 's1', target: null }),
    ...on('held', { visit_kind: 'session', session: 's1', mark_1: 1, target: null }),
    ...on('two codes', {}, 'v1'),
    ...on('two codes', {}, 'v2').map((row) => ({ ...row, measured_at: '2026-03-03' })),
    ...on('two codes', { chassis: 'Y' }, 'v3').map((row) => ({ ...row, measured_at: '2026-03-04' })),
];
const sessions: Row[] = [
    { session: 's1', vehicle: 'session', started_at: '2026-03-02T09:20' },
    { session: 's1', vehicle: 'held', started_at: '2026-03-02T18:00' },
];
const targets: Row[] = [{ target: 'street', camber_deg: -1, toe_deg: 0.05 }];

let db: Database;
let rows: CheckRow[];
beforeAll(async () => {
    db = await modelOf({ readings, sessions, targets, kits: [kit] }, 1, checkNeeds({}));
    rows = (await check(db)).rows;
});
afterAll(() => db.close());

const lineOf = (vehicle: string, phase: string, visit = 'v1') =>
    readings.findIndex((row) => row.vehicle === vehicle && row.phase === phase && row.visit === visit) + 2;

test.each([
    ['after_without_target', 'no target', 'v1', 'FL without target', null, lineOf('no target', 'after')],
    [
        'visit_without_after',
        'no after',
        'v1',
        'nothing after "before" for FL',
        null,
        lineOf('no after', 'before'),
    ],
    ['end_of_scale', 'at the end', 'v1', 'mark is at 5 (-5 to 5)', null, lineOf('at the end', 'after')],
    ['unfamiliar_gauge', 'new gauge', 'v1', '"rack A" is known', null, lineOf('new gauge', 'before')],
    [
        'times_out_of_order',
        'backwards',
        'v1',
        'after was read at 2026-03-02T07:00',
        1,
        lineOf('backwards', 'after'),
    ],
    [
        'overlapping_visits',
        'overlap',
        'v2',
        'visit v1 lasted from 2026-03-02 09:00',
        1,
        lineOf('overlap', 'before', 'v2'),
    ],
    [
        'unknown_target',
        'mistyped target',
        'v1',
        'the table has "street"',
        1,
        lineOf('mistyped target', 'after'),
    ],
    ['unknown_kit', 'unknown kit', 'v1', 'the table has "AMBER-3"', 1, lineOf('unknown kit', 'before')],
    ['index_over_count', 'four', 'v1', 'kit AMBER-3 has 3 positions', 1, lineOf('four', 'before')],
    ['marks_beyond_scale', 'beyond', 'v1', 'mark 6.0 (after), the scale', 1, lineOf('beyond', 'after')],
    [
        'marks_beyond_scale',
        'one scale',
        'v1',
        'kit AMBER-3 has one scale only',
        1,
        lineOf('one scale', 'after'),
    ],
    ['plate_moved_in_session', 'session', 'v1', 'mark 1.0 to 3.0', null, lineOf('session', 'after')],
    [
        'times_out_of_order',
        'held',
        'v1',
        'session s1 started at 2026-03-02T18:00',
        1,
        lineOf('held', 'after'),
    ],
    [
        'chassis_varies',
        'two codes',
        null,
        'chassis Y in 1 of 3 visits, X in 2',
        1,
        lineOf('two codes', 'before', 'v3'),
    ],
])('%s: %s', (name, vehicle, visit, finding, p, line) => {
    const found = rows.find((row) => row.check === name && row.vehicle === vehicle);
    expect(found).toMatchObject({ visit, p_mistake: p, file: 'readings.csv', line });
    expect(found?.finding).toContain(finding);
});

test('nothing but what was planted', () => {
    const planted: Record<string, string[]> = {
        after_without_target: ['no target'],
        visit_without_after: ['no after'],
        end_of_scale: ['at the end'],
        unfamiliar_gauge: ['new gauge'],
        times_out_of_order: ['backwards', 'held'],
        overlapping_visits: ['overlap'],
        unknown_target: ['mistyped target'],
        unknown_kit: ['unknown kit'],
        index_over_count: ['four', 'four'],
        marks_beyond_scale: ['beyond', 'one scale'],
        plate_moved_in_session: ['session'],
        chassis_varies: ['two codes'],
    };
    const found = Object.fromEntries(
        Object.keys(planted).map((name) => [
            name,
            rows.filter((row) => row.check === name).map((row) => row.vehicle),
        ]),
    );
    expect(found).toEqual(planted);
});

test('a database in which nobody names targets is told so once', async () => {
    const plain = await modelOf(
        { readings: readings.map((row) => ({ ...row, target: null })), kits: [kit] },
        1,
        checkNeeds({ only: 'after_without_target' }),
    );
    const { rows: all } = await check(plain, { only: 'after_without_target' });
    plain.close();
    expect(all).toHaveLength(1);
    expect(all[0]).toMatchObject({ vehicle: null, visit: null });
    expect(all[0]?.finding).toMatch(/^none of the \d+ installs and adjustments names a target/);
});
