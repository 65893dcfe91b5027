import { expect, test } from 'vitest';
import { modelOf, type Rows } from '../support/memory.js';

const kit = {
    kit: 'K',
    axis_deg: 0,
    mark_pitch_mm: 2,
    mark_min: -6,
    mark_max: 6,
    centre_out_mm: 0,
    centre_aft_mm: 0,
};
const common = {
    vehicle: 'A',
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-01-01',
    visit_kind: 'adjust',
    kit: 'K',
    plate_index: 1,
};

async function moves(
    readings: Rows,
    columns = 'response, from_phase, to_phase, move_out_mm, move_aft_mm, change_deg, weight',
) {
    const db = await modelOf({ readings, kits: [kit] }, undefined, ['moves']);
    const rows = await db.cells(
        `select ${columns} from moves order by response, visit, from_phase, to_phase`,
    );
    db.close();
    return rows;
}

test('no readings, one reading, one place: no move', async () => {
    expect(await moves([])).toEqual([]);
    expect(await moves([{ ...common, visit: 'v', phase: 'before', mark_1: 1, camber_deg: -1 }])).toEqual([]);
    expect(
        await moves([
            { ...common, visit: 'v', phase: 'before', mark_1: 1, camber_deg: -1 },
            { ...common, visit: 'v', phase: 'after', mark_1: 1, camber_deg: -1.2 },
        ]),
    ).toEqual([]);
});

test('two states make one move of weight 1; two visits never pair', async () => {
    const rows = await moves([
        { ...common, visit: 'v', phase: 'before', mark_1: 1, camber_deg: -1 },
        { ...common, visit: 'v', phase: 'after', mark_1: 4, camber_deg: -0.5 },
        { ...common, visit: 'w', phase: 'after', mark_1: -4, camber_deg: -2 },
    ]);
    expect(rows).toEqual([
        {
            response: 'camber_deg',
            from_phase: 'before',
            to_phase: 'after',
            move_out_mm: 3 * 2,
            move_aft_mm: 0,
            change_deg: 0.5,
            weight: 1,
        },
    ]);
});

test('offsets measured without a kit: weight 1 for two states, 2/3 each for three', async () => {
    const bare = { ...common, kit: null, plate_index: null, offset_aft_mm: 0, visit: 'v' };
    const states = [
        { ...bare, phase: 'before', offset_out_mm: 0, caster_deg: 6 },
        { ...bare, phase: 'after', offset_out_mm: 6, caster_deg: 6.5 },
    ];
    expect((await moves(states)).map((row) => row.weight)).toEqual([1]);
    const third = { ...bare, phase: 'moved', offset_out_mm: 3, caster_deg: 6.2 };
    expect((await moves([...states, third])).map((row) => row.weight)).toEqual([2 / 3, 2 / 3, 2 / 3]);
});

test('three states share what two tell: weight 2/3 each; toe only while the tie rods are untouched', async () => {
    const rows = await moves([
        { ...common, visit: 'v', phase: 'before', mark_1: 0, camber_deg: -1, toe_deg: 0.1 },
        { ...common, visit: 'v', phase: 'moved', mark_1: -3, camber_deg: -1.5, toe_deg: 0.4 },
        { ...common, visit: 'v', phase: 'after', mark_1: -3, camber_deg: -1.5, toe_deg: 0.1 },
    ]);
    // No caster was read: camber cannot be brought to equal toe and stays as read.
    expect(rows.filter((row) => row.response === 'camber_deg')).toEqual([
        {
            response: 'camber_deg',
            from_phase: 'before',
            to_phase: 'after',
            move_out_mm: -6,
            move_aft_mm: 0,
            change_deg: -0.5,
            weight: 2 / 3,
        },
        {
            response: 'camber_deg',
            from_phase: 'before',
            to_phase: 'moved',
            move_out_mm: -6,
            move_aft_mm: 0,
            change_deg: -0.5,
            weight: 2 / 3,
        },
    ]);
    expect(rows.filter((row) => row.response === 'toe_deg')).toEqual([
        {
            response: 'toe_deg',
            from_phase: 'before',
            to_phase: 'moved',
            move_out_mm: -6,
            move_aft_mm: 0,
            change_deg: 0.3,
            weight: 1,
        },
    ]);
});

test('camber is brought to equal toe: 1 deg of toe-in at caster t takes tan(t) deg of camber', async () => {
    const [row] = await moves(
        [
            { ...common, visit: 'v', phase: 'before', mark_1: 0, camber_deg: -1, caster_deg: 6, toe_deg: 0 },
            {
                ...common,
                visit: 'v',
                phase: 'moved',
                mark_1: 3,
                camber_deg: -0.5,
                caster_deg: 7,
                toe_deg: 0.4,
            },
        ],
        'change_deg, read_change_deg, equal_toe',
    );
    expect(row!.read_change_deg).toBe(0.5);
    expect(row!.change_deg).toBeCloseTo(0.5 + Math.tan((6.5 * Math.PI) / 180) * 0.4, 6);
    expect(row!.equal_toe).toBe('measured');
});

test('a change of mount, of kit, an unknown index or a blank mark is not a move', async () => {
    const at = (visit: string, phase: string, extra: object) => ({
        ...common,
        visit,
        phase,
        camber_deg: -1,
        ...extra,
    });
    expect(
        await moves([
            at('install', 'before', { kit: null, plate_index: null }),
            at('install', 'after', { mark_1: 3 }),
            at('unknown kit', 'before', { kit: 'Z', mark_1: 0 }),
            at('unknown kit', 'after', { kit: 'Z', mark_1: 3 }),
            at('no index', 'before', { plate_index: null, mark_1: 0 }),
            at('no index', 'after', { plate_index: null, mark_1: 3 }),
            at('no mark', 'before', { mark_1: 0 }),
            at('no mark', 'after', {}),
            at('one offset', 'before', { plate_index: null, offset_out_mm: 0 }),
            at('one offset', 'after', { plate_index: null, offset_out_mm: 4 }),
        ]),
    ).toEqual([]);
});

test('repeats are averaged, and a pair counts 2 r1 r2 / (r1 + r2)', async () => {
    const rows = await moves([
        { ...common, visit: 'v', phase: 'before', repeat: 1, mark_1: 0, camber_deg: -1 },
        { ...common, visit: 'v', phase: 'before', repeat: 2, mark_1: 0, camber_deg: -1.1 },
        { ...common, visit: 'v', phase: 'before', repeat: 3, mark_1: 0, camber_deg: -1.2 },
        { ...common, visit: 'v', phase: 'after', mark_1: 3, camber_deg: -0.6 },
    ]);
    expect(rows).toHaveLength(1);
    expect(rows[0]!.change_deg).toBeCloseTo(-0.6 + (1 + 1.1 + 1.2) / 3, 6);
    expect(rows[0]!.weight).toBe((2 * 3 * 1) / (3 + 1));
});

test('measured offsets win over marks; rear corners take no part', async () => {
    const rows = await moves([
        {
            ...common,
            visit: 'v',
            phase: 'before',
            mark_1: 0,
            offset_out_mm: 1,
            offset_aft_mm: 2,
            camber_deg: -1,
        },
        {
            ...common,
            visit: 'v',
            phase: 'after',
            mark_1: 3,
            offset_out_mm: 4,
            offset_aft_mm: 2,
            camber_deg: -0.7,
        },
        { ...common, corner: 'RL', visit: 'v', phase: 'before', mark_1: 0, camber_deg: -1 },
        { ...common, corner: 'RL', visit: 'v', phase: 'after', mark_1: 3, camber_deg: -0.7 },
    ]);
    expect(rows).toEqual([
        {
            response: 'camber_deg',
            from_phase: 'before',
            to_phase: 'after',
            move_out_mm: 3,
            move_aft_mm: 0,
            change_deg: 0.3,
            weight: 1,
        },
    ]);
});

test('a moved state without toe takes no part in camber where before and after tell of the move at equal toe', async () => {
    const state = { ...common, visit: 'v', caster_deg: 6 };
    const before = { ...state, phase: 'before', mark_1: 0, camber_deg: -1 };
    const moved = { ...state, phase: 'moved', mark_1: -3, camber_deg: -1.6 };
    const after = { ...state, phase: 'after', mark_1: -3, camber_deg: -1.5 };
    const told = async (readings: Rows) =>
        (await moves(readings)).map(({ response, from_phase, to_phase, change_deg, weight }) =>
            [response, from_phase, to_phase, change_deg, weight].join(' '),
        );
    const caster = (from: string, to: string) => `caster_deg ${from} ${to} 0 ${2 / 3}`;
    const ofCaster = [caster('before', 'after'), caster('before', 'moved')];
    expect(await told([before, moved, after])).toEqual(['camber_deg before after -0.5 1', ...ofCaster]);
    // Tie rods as they were: the after is at the toe of the move as well, and both are counted as not known.
    expect(await told([before, moved, { ...after, toe_reset: 'no' }])).toEqual([
        `camber_deg before after -0.5 ${2 / 3}`,
        `camber_deg before moved -0.6 ${2 / 3}`,
        ...ofCaster,
    ]);
    // Without an after of another place it is all there is.
    expect(await told([before, moved])).toEqual([
        'camber_deg before moved -0.6 1',
        'caster_deg before moved 0 1',
    ]);
    expect(await told([before, moved, { ...after, mark_1: 0 }])).toContain(
        `camber_deg before moved -0.6 ${2 / 3}`,
    );
    const withToe = await told(
        [before, moved, after].map((row, i) => ({ ...row, toe_deg: [0.1, 0.5, 0.1][i]! })),
    );
    expect(withToe.filter((row) => row.startsWith('camber'))).toHaveLength(2);
});
