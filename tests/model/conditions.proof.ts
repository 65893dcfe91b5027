import { expect, test } from 'vitest';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { slopes, slopesNeeds } from '../../src/model/slopes.js';
import { modelOf, type Rows, rowsOf } from '../support/memory.js';

const common = {
    vehicle: 'A',
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-01-01',
    visit: 'v',
    visit_kind: 'adjust',
    kit: 'K',
    gauge: 'g',
};
const placed = { offset_out_mm: 0, offset_aft_mm: 0 };
const moved = { offset_out_mm: 4, offset_aft_mm: 0 };

const asked = (readings: Rows, query: string) => rowsOf({ readings }, query);
const changed = { only: 'conditions_changed' };

const state = 'select camber_deg, camber_count from states order by phase';

test('the mean of a state takes one set of conditions, and check says which and of how many', async () => {
    const repeat = (
        n: number,
        camber_deg: number,
        driver_aboard: string | null,
        fuel_l: number | null = 40,
    ) => ({
        ...common,
        ...placed,
        phase: 'before',
        repeat: n,
        camber_deg,
        driver_aboard,
        fuel_l,
    });
    // A blank beside readings that agree is no other condition, nor are 8 l of fuel.
    expect(await asked([repeat(1, -1, 'yes'), repeat(2, -1.2, null, 48)], state)).toEqual([
        { camber_deg: -1.1, camber_count: 2 },
    ]);
    const mixed = [repeat(1, -1, 'yes'), repeat(2, -1.5, 'no'), repeat(3, -1.2, 'yes')];
    expect(await asked(mixed, state)).toEqual([{ camber_deg: -1.1, camber_count: 2 }]);
    // Equally many: those of the first one.
    expect(await asked(mixed.slice(0, 2), state)).toEqual([{ camber_deg: -1, camber_count: 1 }]);
    expect(await asked([repeat(1, -1, 'yes', 10), repeat(2, -1.5, 'yes', 21)], state)).toEqual([
        { camber_deg: -1, camber_count: 1 },
    ]);
    // 21 l are "10 l or more" too.
    const conditions = 'select conditions from condition_levels order by level';
    expect(await asked([repeat(1, -1, 'yes', 10), repeat(2, -1.5, 'yes', 21)], conditions)).toEqual([
        { conditions: 'fuel from 10 to 20 l' },
        { conditions: 'fuel from 20 to 30 l' },
    ]);
    // Repeatability compares like with like: two cells, one of two readings.
    expect(
        await asked(mixed, 'select count(*) as n from repeated_readings group by state order by n'),
    ).toMatchObject([{ n: 1 }, { n: 2 }]);
    const db = await modelOf({ readings: mixed }, 1, checkNeeds(changed));
    const { rows } = await check(db, changed);
    expect(rows.filter((row) => row.check === 'conditions_changed')).toMatchObject([
        {
            finding:
                'repeats of before differ in conditions; the state is the mean of those with driver aboard yes (2 of 3 readings)',
            line: 3,
            p_mistake: null,
        },
    ]);
    db.close();
});

test('moves whose ends differ in a condition that both tell are no moves of slopes, and are counted', async () => {
    const at = (phase: string, conditions: object, camber_deg: number, place: object = moved) => ({
        ...common,
        ...place,
        phase,
        camber_deg,
        ...conditions,
    });
    const pairs = 'select from_phase, to_phase, camber_weight from state_pairs order by all';
    const both = { from_phase: 'before', to_phase: 'after', camber_weight: 1 };
    const cases = [
        [{}, {}, true],
        [{ driver_aboard: 'yes' }, {}, true],
        [{ driver_aboard: 'yes' }, { driver_aboard: 'yes' }, true],
        [{ driver_aboard: 'yes' }, { driver_aboard: 'no' }, false],
        [{ fuel_l: 40 }, { fuel_l: 50 }, true],
        [{ fuel_l: 40 }, { fuel_l: 50.5 }, false],
        [{ rolled: 'yes' }, { rolled: 'no' }, false],
        [{ bolts_tight: 'no' }, { bolts_tight: 'yes' }, false],
        [{ place: 'bay 1' }, { place: 'bay 2' }, false],
        [{ remounted: 'yes' }, { remounted: 'no' }, true],
    ] as const;
    const read = cases.flatMap(([first, second], n) =>
        [at('before', first, -1, placed), at('after', second, -0.6)].map((row) => ({
            ...row,
            vehicle: `car ${n}`,
        })),
    );
    const rowsByCar = await asked(read, pairs.replace('select', 'select vehicle,'));
    for (const [n, [first, second, kept]] of cases.entries()) {
        const rows = rowsByCar.filter(({ vehicle }) => vehicle === `car ${n}`);
        expect([first, second, rows]).toEqual([
            first,
            second,
            kept ? [{ ...both, vehicle: `car ${n}` }] : [],
        ]);
    }
    // The state between does not share its information where it was read under other conditions.
    const three = [
        at('before', { driver_aboard: 'no' }, -1, placed),
        at('moved', { driver_aboard: 'yes' }, -0.4),
        at('after', { driver_aboard: 'no' }, -0.6),
    ];
    expect(await asked(three, pairs)).toEqual([both]);

    const db = await modelOf({ readings: three.slice(0, 2) }, 1, [...checkNeeds(changed), ...slopesNeeds]);
    expect((await slopes(db)).notes).toContain(
        '1 move takes no part: read under different conditions before and after, driver aboard no to yes (first: readings.csv line 3).',
    );
    const { rows } = await check(db, changed);
    expect(rows.filter((row) => row.check === 'conditions_changed')).toMatchObject([
        { finding: 'from before to moved: driver aboard no to yes; slopes leave this move out' },
    ]);
    db.close();
});

test('mountings of a gauge in a state: one more for each reading that says remounted, none where nobody says', async () => {
    const repeat = (n: number, remounted: string | null, gauge = 'g') => ({
        ...common,
        phase: 'before',
        repeat: n,
        camber_deg: -1,
        remounted,
        gauge,
    });
    const query = 'select list(mounting order by gauge, camber_deg desc) as m from repeated_readings';
    const cases: [Rows, (number | null)[]][] = [
        [
            [repeat(1, null), repeat(2, null)],
            [null, null],
        ],
        [
            [repeat(1, 'yes'), repeat(2, 'no'), repeat(3, 'yes')],
            [1, 1, 2],
        ],
        [
            [repeat(1, null), repeat(2, 'yes'), repeat(3, null, 'h')],
            [1, 2, 1],
        ],
    ];
    for (const [rows, mountings] of cases) {
        const told = rows.map((row, n) => ({ ...row, camber_deg: -1 - n / 10 }));
        const [row] = await asked(told, query);
        expect((row!.m as { items?: unknown[] }).items ?? row!.m).toEqual(mountings);
    }
});

test('a gauge that read caster in two ways is said, one way is not', async () => {
    const read = (n: number, caster_method: string | null) => ({
        ...common,
        visit: `v${n}`,
        phase: 'before',
        caster_deg: 5,
        caster_method,
    });
    const only = { only: 'caster_by_two_methods' };
    const one = [read(1, 'sweep'), read(2, null), read(3, 'sweep')];
    const two = [read(4, 'sweep'), read(5, 'direct'), read(6, 'sweep')].map((row) => ({
        ...row,
        gauge: 'h',
    }));
    const db = await modelOf({ readings: [...one, ...two] }, 1, checkNeeds(only));
    const { rows } = await check(db, only);
    db.close();
    expect(rows).toMatchObject([
        { finding: 'gauge "h" has caster 2 times by a sweep and 1 time directly', visit: 'v5', line: 6 },
    ]);
});
