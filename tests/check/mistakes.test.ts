import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CheckRow } from '../../src/contracts/results/check.js';
import type { Database } from '../../src/db/database.js';
import { check, isOpen } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { corner, kit, offset, type Row, type Stand, soundCars } from '../support/linear.js';
import { modelOf } from '../support/memory.js';

// One chassis per case: eight sound cars and one with the mistake. The cars follow round slopes (0.09 deg/mm) but for hundredths,
// so what each mistake does to the numbers can be worked out in the head.
const out: Stand[] = [
    { phase: 'before', mark: -3 },
    { phase: 'moved', mark: 2 },
    { phase: 'after', mark: 3 },
];
const inward: Stand[] = [
    { phase: 'before', mark: 2 },
    { phase: 'moved', mark: -2 },
    { phase: 'after', mark: -3 },
];

/** A move so small that the mistaken rows do not outweigh the sound ones in the slope of toe. */
const small: Stand[] = [
    { phase: 'before', mark: 1 },
    { phase: 'moved', mark: 3 },
    { phase: 'after', mark: 3 },
];

function car(chassis: string, visit = 'v1', more: Row = {}, left = out, right = inward): Row[] {
    const name = { vehicle: `${chassis} car`, chassis, visit };
    return [
        ...corner({ ...name, corner: 'FL' }, left, more),
        ...corner({ ...name, corner: 'FR' }, right, more),
    ];
}

const edit = (rows: Row[], where: Row, change: (row: Row) => Row): Row[] =>
    rows.map((row) =>
        Object.entries(where).every(([key, value]) => row[key] === value) ? { ...row, ...change(row) } : row,
    );

const num = (row: Row, name: string) => row[name] as number;
const hundredths = (value: number) => Math.round(100 * value) / 100;

/** The offset of the row's pointer, measured and divided by `divisor`. */
function measured(row: Row, divisor: number): Row {
    const { out: o, aft } = offset(String(row.corner), {
        mark: num(row, 'mark_1'),
        index: num(row, 'plate_index'),
    });
    return { offset_out_mm: hundredths(o / divisor), offset_aft_mm: hundredths(aft / divisor), mark_1: null };
}

function withAnglesOf(rows: Row[], target: Row, source: Row): Row[] {
    const found = rows.find((row) => Object.entries(source).every(([key, value]) => row[key] === value))!;
    const { camber_deg, caster_deg, toe_deg, sai_deg } = found;
    return edit(rows, target, () => ({ camber_deg, caster_deg, toe_deg, sai_deg }));
}

/** What FL and FR read in `phase` exchanged. */
function exchanged(rows: Row[], phase: string): Row[] {
    const [left, right] = [
        { corner: 'FL', phase },
        { corner: 'FR', phase },
    ];
    const once = withAnglesOf(rows, left, right);
    const angles = rows.find((row) => row.corner === 'FL' && row.phase === phase)!;
    const { camber_deg, caster_deg, toe_deg, sai_deg } = angles;
    return edit(once, right, () => ({ camber_deg, caster_deg, toe_deg, sai_deg }));
}

/** -1.5 deg, that is -1 deg 30 min, as "-1.30". */
const inMinutes = (value: number) =>
    Math.sign(value) * hundredths(Math.floor(Math.abs(value)) + (Math.abs(value) % 1) * 0.6);

const bothTotal = (rows: Row[]) =>
    rows.map((row) => {
        const other = rows.find(({ corner, phase }) => corner !== row.corner && phase === row.phase)!;
        return { ...row, toe_deg: hundredths(num(row, 'toe_deg') + num(other, 'toe_deg')) };
    });

const cases: Record<string, Row[]> = {
    inches: car('inches').map((row) => ({ ...row, ...measured(row, 25.4) })),
    'camber magnitude': car('camber magnitude').map((row) => ({
        ...row,
        camber_deg: -num(row, 'camber_deg'),
    })),
    sides: exchanged(car('sides'), 'after'),
    index: edit(car('index'), { corner: 'FR' }, () => ({ plate_index: 2 })),
    hand: edit(
        car(
            'hand',
            'v1',
            {},
            out.map((stand) => ({ ...stand, index: 2 })),
        ),
        { corner: 'FL' },
        () => ({ plate_hand: 'right' }),
    ),
    either: edit(car('either'), { corner: 'FL' }, (row) => ({ mark_1: -num(row, 'mark_1') })),
    sign: edit(
        [...car('sign'), ...car('sign', 'v2', { measured_at: '2026-04-02' })],
        { corner: 'FR', visit: 'v2', phase: 'after' },
        (row) => ({ camber_deg: -num(row, 'camber_deg') }),
    ),
    included: edit(car('included'), { corner: 'FL', phase: 'after' }, (row) => ({
        sai_deg: num(row, 'sai_deg') + 1,
    })),
    caster: edit(car('caster'), { corner: 'FL', phase: 'after' }, (row) => ({
        caster_deg: num(row, 'caster_deg') + 2,
    })),
    copy: withAnglesOf(
        // Marks of its own, so that no other car of this file is alike to the last digit.
        [...car('copy', 'v1', {}, inward), ...car('copy', 'v2', { measured_at: '2026-04-02' }, inward, out)],
        { corner: 'FR', visit: 'v2', phase: 'before' },
        { corner: 'FR', visit: 'v1', phase: 'after' },
    ),
    minutes: car('minutes').map((row) => ({
        ...row,
        camber_deg: inMinutes(num(row, 'camber_deg')),
        caster_deg: inMinutes(num(row, 'caster_deg')),
        sai_deg: inMinutes(num(row, 'sai_deg')),
    })),
    toe: [1, 2, 3].flatMap((n) =>
        bothTotal(car('toe', `v${n}`, { technician: 'T', measured_at: `2026-0${3 + n}-02` }, small, small)),
    ),
};
/** Set to -1 from where it had slipped to, by 2 marks, which nobody wrote down: 4 mm instead of 8, as if marks were millimetres. */
const slipped = edit(
    car(
        'slipped',
        'v1',
        {},
        [
            { phase: 'before', mark: 1 },
            { phase: 'moved', mark: -1 },
            { phase: 'after', mark: -1 },
        ],
        [
            { phase: 'before', mark: 2 },
            { phase: 'moved', mark: 2.5 },
            { phase: 'after', mark: 2.5 },
        ],
    ),
    { corner: 'FL', phase: 'before' },
    () => ({ mark_1: 3 }),
);

let db: Database;
let rows: CheckRow[];
beforeAll(async () => {
    const readings = [
        ...Object.entries(cases).flatMap(([name, mistaken]) => [
            ...soundCars(name, name === 'copy' ? 4 : 1),
            ...mistaken,
        ]),
        ...[...soundCars('slipped'), ...slipped],
        ...soundCars('all in inches').map((row) => ({ ...row, ...measured(row, 25.4) })),
    ];
    db = await modelOf({ readings, kits: [kit] }, 1, checkNeeds({}));
    rows = (await check(db)).rows.filter((row) => row.p_mistake === null || row.p_mistake >= 0.5);
});
afterAll(() => db.close());

test.each([
    ['offset_unit_or_sign', 'inches', null, null, 'offsets times 25.4'],
    ['offset_unit_or_sign', 'camber magnitude', null, null, 'camber with its sign reversed'],
    ['swapped_sides', 'sides', 'v1', null, 'exchanged in the after rows'],
    ['wrong_placement', 'index', 'v1', 'FR', 'fit index 1 with the right plate; index 2'],
    ['wrong_placement', 'hand', 'v1', 'FL', 'fit index 2 with the left plate; index 2 with the right'],
    [
        'wrong_placement',
        'either',
        'v1',
        'FL',
        'marks of the other sign or index 1 with the right plate (which one cannot be told)',
    ],
    ['lost_camber_sign', 'sign', 'v2', 'FR', '(after) would fit the other visits with the other sign'],
    ['included_angle_jump', 'included', 'v1', 'FL', '(moved) to '],
    ['downweighted_moves', 'caster', 'v1', 'FL', 'caster changed by '],
    ['copied_rows', 'copy', 'v2', 'FR', 'to the last digit as FR of visit v1 (after)'],
    ['minutes_as_decimals', 'minutes', 'v1', null, 'none of the 18 angles of this visit'],
])('%s: %s', (name, chassis, visit, side, finding) => {
    const found = rows.find((row) => row.check === name && row.vehicle === `${chassis} car`);
    expect(found).toMatchObject({ visit, corner: side, explained_by: null });
    expect(found?.finding).toContain(finding);
});

test('toe_total_as_wheel names the technician', () => {
    const found = rows.filter(
        (row) => row.check === 'toe_total_as_wheel' && row.finding.includes('technician T'),
    );
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ vehicle: null, visit: null, explained_by: null });
});

test('a chassis wholly in inches is named as a whole, none of its cars is', () => {
    const found = rows.filter((row) => row.chassis === 'all in inches' && isOpen(row));
    expect(new Set(found.map((row) => row.check))).toEqual(new Set(['implausible_slopes']));
    expect(found[0]?.finding).toContain('inches');
});

test('sound cars are left alone', () => {
    expect(
        rows.filter((row) => row.vehicle?.includes('sound') && row.p_mistake !== null && isOpen(row)),
    ).toEqual([]);
});

test('one corner that had slipped before it was set is no other unit of the offsets', () => {
    expect(rows.filter((row) => row.chassis === 'slipped' && row.check === 'offset_unit_or_sign')).toEqual(
        [],
    );
});

test('one mistake is told once: what follows from it names it', () => {
    for (const name of Object.keys(cases)) {
        const about = rows.filter((row) => row.vehicle === `${name} car` && row.p_mistake !== null);
        const open = new Set(about.filter(isOpen).map((row) => row.check));
        expect([name, [...open]]).toEqual([name, name === 'toe' ? [] : [expect.any(String)]]);
        for (const row of about.filter((candidate) => !isOpen(candidate))) {
            expect([...open, 'toe_total_as_wheel']).toContain(row.explained_by);
        }
    }
});
