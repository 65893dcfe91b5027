import { expect, test } from 'vitest';
import { csvCells } from '../../src/load/csvCells.js';
import { answerOf } from '../../src/sheet/answer.js';
import { doubtsOf, fromMinutes, repeatsOf } from '../../src/sheet/doubts.js';
import { cornerOf, statesOf } from '../../src/sheet/present.js';
import { cellsOf, csvOf, numberOf, type Row } from '../../src/sheet/record.js';
import { normal } from '../../src/stats/settingFunctions.js';
import { handBook, rowOf, visitOf } from '../support/sheetBook.js';

const book = handBook();
const visit = visitOf();

function doubts(row: Row, others: Row[] = []) {
    const rows = [...others, row];
    return doubtsOf(book, visit, statesOf(book, 'A', [visit], rows), rows, row);
}

const found = rowOf('FL', 'before', { mark_1: '0', camber_deg: '-1.5', caster_deg: '7.02', toe_deg: '0.01' });

test('what fits the car and the marks raises no doubt', () => {
    expect(doubts(found)).toEqual([]);
    // 3 marks of 2 mm outboard: 6 mm, 0.54 deg of camber, 0.22 of toe, which takes tan(7 deg) of itself off the camber.
    const toe = 0.01 + 6 * 0.036;
    const camber = -1.5 + 0.54 - Math.tan((7.02 * Math.PI) / 180) * (toe - 0.01);
    const moved = rowOf('FL', 'moved', {
        mark_1: '3',
        camber_deg: camber.toFixed(2),
        caster_deg: '7.0',
        toe_deg: toe.toFixed(2),
    });
    expect(doubts(moved, [found])).toEqual([]);
});

test.each([
    ['a lost sign', { mark_1: '0', camber_deg: '1.5' }, 'lost_camber_sign', '-1.50'],
    [
        'minutes: 1 deg 30 min',
        { mark_1: '0', camber_deg: '-1.30', toe_deg: '0' },
        'minutes_as_decimals',
        '-1.50',
    ],
    ['the sign of the other side', { mark_1: '5', toe_deg: '-0.37' }, null, '0.37'],
    ['total toe', { mark_1: '3', toe_deg: '0.45' }, 'toe_total_as_wheel', '0.23'],
    ['a mark beyond the scale', { mark_1: '6', camber_deg: '-1' }, 'marks_beyond_scale', null],
    ['no such index', { plate_index: '4', mark_1: '0', camber_deg: '-1.5' }, 'index_over_count', null],
    [
        'an angle that does not follow the move',
        { mark_1: '3', camber_deg: '-2.6', toe_deg: '0.22' },
        'downweighted_moves',
        null,
    ],
])('%s, in the words of check', (_, typed, check, value) => {
    const [doubt] = doubts(rowOf('FL', 'moved', typed), [found]);
    expect(doubt).toMatchObject({ check, value });
    expect(doubt!.text).toContain(check === null ? 'the other sign' : book.checks[check]!.likely);
});

test('a wrong bolt position shows in camber and caster', () => {
    // Index 2 turns 5 marks, 10 mm, to (-5, 8.66): camber -0.45, caster +0.82.
    const [doubt] = doubts(rowOf('FL', 'moved', { mark_1: '5', camber_deg: '-1.95', caster_deg: '7.84' }), [
        found,
    ]);
    expect(doubt).toMatchObject({ check: 'wrong_placement', column: 'plate_index' });
    expect(doubt!.text).toContain('index 2 with the left plate');
});

test('left and right exchanged', () => {
    const left = rowOf('FL', 'before', { mark_1: '0', camber_deg: '-1.1' });
    expect(doubts(rowOf('FR', 'before', { mark_1: '0', camber_deg: '-1.5' }), [left])[0]).toMatchObject({
        check: 'swapped_sides',
    });
});

test('ranges are those of load, and what was found elsewhere asks whether it moved', () => {
    expect(doubts(rowOf('FL', 'before', { camber_deg: '-13' }))[0]!.text).toBe(
        '"-13" lies outside -12 to 12 deg: check the number, its sign and its unit',
    );
    expect(doubts(rowOf('FL', 'before', { mark_1: '0', camber_deg: '-1.98' }))[0]!.text).toMatch(
        /^moved since 2026-03-01\? camber -1\.98, 0\.48 more negative than -1\.50/,
    );
    const other = visitOf({ vehicle: 'B' });
    const row = rowOf('FL', 'before', { mark_1: '0', camber_deg: '-4' });
    expect(doubtsOf(book, other, [], [row], row)[0]!.text).toContain('other cars of the chassis');
    expect(fromMinutes(-1.3)).toBeCloseTo(-1.5, 12);
    expect(fromMinutes(1.75)).toBeNull();
});

test('measured offsets win over marks, one of them too; clamps put on anew are another mounting', () => {
    const state = (typed: Row['typed'], ...others: Row[]) =>
        statesOf(
            book,
            'A',
            [visit],
            [rowOf('FL', 'moved', { mark_1: '3', camber_deg: '-1', ...typed }), ...others],
        )[0]!;
    // Mark 3 of 2 mm outboard.
    expect(state({}).place).toEqual({ out_mm: 6, aft_mm: 0 });
    expect(state({ offset_aft_mm: '-2' }).place).toEqual({ out_mm: 6, aft_mm: -2 });
    const measured = state({ offset_out_mm: '5', offset_aft_mm: '-2' });
    expect(measured).toMatchObject({ place: { out_mm: 5, aft_mm: -2 }, read_error: { oo: 0.01 / 12 } });
    const again = (remounted: string) =>
        state({}, rowOf('FL', 'moved', { mark_1: '3', camber_deg: '-1', remounted }, { repeat: 2 }))
            .mountings;
    expect([again('no'), again('yes')]).toEqual([1, 2]);
});

test('repeats: mean, spread and what the gauge does by itself', () => {
    const rows = ['-1.50', '-1.54', '-1.52'].map((camber_deg, i) =>
        rowOf('FL', 'before', { mark_1: '0', camber_deg }, { repeat: i + 1 }),
    );
    const [camber] = repeatsOf(book, visit, rows);
    expect(camber).toMatchObject({
        angle: 'camber',
        count: 3,
        mean_deg: -1.52,
        own_sd_deg: 0.04,
        wide: false,
    });
    expect(camber!.sd_deg).toBeCloseTo(0.02, 12);
    const far = rowOf('FL', 'before', { mark_1: '0', camber_deg: '-1.8' }, { repeat: 4 });
    expect(doubts(far, rows).at(-1)!.text).toContain('read it again');
});

test('the answer follows what is typed: -0.5 deg to go is 5.56 mm outboard, nearest 3 marks', () => {
    const ask = (rows: Row[]) =>
        answerOf(normal, book, statesOf(book, 'A', [visit], rows), {
            car: visit,
            target: 'T',
            kit: null,
            anyIndex: false,
        });
    const [left] = ask([found]).rows;
    expect(left).toMatchObject({ corner: 'FL', mark_1: 3, move_out_mm: 6, reachable: true });
    expect(left!.camber_deg).toBeCloseTo(-0.96, 12);
    expect(left!.toe_change_deg).toBeCloseTo(0.216, 12);
    expect(ask([rowOf('FL', 'before', { camber_deg: '-1.5' })]).missing).toEqual({ FL: 'no_place' });
});

test('a file of the rows: half-typed numbers left out, names with commas and quotes whole', () => {
    const named = visitOf({ vehicle: 'A, "the old" =1+1', session: 'x', target: '</script>' });
    const row = rowOf(
        'FL',
        'after',
        { mark_1: '-', camber_deg: '-.5', toe_deg: '0.' },
        { measured_at: '2026-11-27T11:00' },
    );
    const [head, line] = csvOf(book.order, [named], [row, rowOf('FR', 'before', { mark_1: '1' })]).split(
        '\n',
    );
    const cells = Object.fromEntries(csvCells(head!).map((name, i) => [name, csvCells(line!)[i]]));
    expect(cells).toMatchObject({
        vehicle: named.vehicle,
        mark_1: '',
        camber_deg: '-0.5',
        toe_deg: '0',
        target: '</script>',
        session: '',
    });
    expect(cellsOf(named, row).plate_index).toBe('1');
    expect([numberOf('-'), numberOf('.'), numberOf(''), numberOf('-0')]).toEqual([null, null, null, 0]);
});

test('what a gauge has walked by the day of a reading is taken off it', () => {
    const length = 14.7;
    const walking = (weeksAgo: number | null) => {
        const read = Date.UTC(2026, 2, 1) / 604_800_000;
        const [anyone, rack] = handBook().readers;
        const worth = { ...rack!.worth.camber, bias_var: 0.05 * 0.05, bias: 0.02 };
        const walk = weeksAgo === null ? null : ([0.007, 0.001 * 0.001, read - weeksAgo, length] as const);
        const camber = { ...worth, walk };
        return { ...handBook(), readers: [anyone!, { ...rack!, worth: { ...rack!.worth, camber } }] };
    };
    const asked = (weeksAgo: number | null) => {
        const known = walking(weeksAgo);
        const corner = cornerOf(known, { vehicle: 'A', chassis: 'X' }, known.cars[0]!.states, 'FL', {
            kit: null,
            target: 'T',
            anyIndex: false,
        });
        if (typeof corner === 'string') throw new Error(corner);
        return corner.camber;
    };
    expect(asked(10).bias_deg).toBeCloseTo(0.02 + 10 * 0.007, 9);
    const uniform = ((0.007 ** 2 + 0.001 ** 2) * length ** 2) / 12;
    expect(asked(10).bias_var_deg2).toBeCloseTo(0.05 ** 2 - uniform + 100 * 0.001 ** 2, 12);
    expect(asked(null)).toMatchObject({ bias_deg: 0.02, bias_var_deg2: 0.05 * 0.05 });
    // A year mistyped: no more than over the time that told of it.
    expect(asked(1400).bias_deg).toBeCloseTo(0.02 + 14.7 * 0.007, 3);
});
