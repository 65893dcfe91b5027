import { afterEach, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { stackMissing, stackReason } from '../../src/model/stackWords.js';
import { boxes, type Part, type Shaft, stacksOf } from '../support/stacks.js';

let db: Database;
afterEach(() => db.close());

const shaft: Shaft = { shoulder_length_mm: 38, thread_length_mm: 22 };
const box: Part[] = [
    { role: 'spring_plate', height_mm: 5, fits_diameter_mm: 14, part: 'plate' },
    { role: 'spacer', height_mm: 3, count: 2, part: 'ring' },
    { role: 'lower_adapter', height_mm: 9, required: 'yes', part: 'low' },
    { role: 'bearing', height_mm: 14, drop_mm: 6, required: 'yes', part: 'mount' },
    { role: 'upper_adapter', height_mm: 6, required: 'yes', part: 'top' },
    { role: 'nut', height_mm: 11, part: 'nut' },
];

/** The rows of one box on one shaft. */
async function rowsOf(
    parts: readonly Part[],
    on: Shaft = shaft,
    options: Parameters<typeof stacksOf>[1] = {},
) {
    db = await boxes({ K: parts }, [on]);
    return stacksOf(db, options);
}

/** A bearing and a nut on a plate of the car: nothing but what a rule is about. */
function plain(bearing: Partial<Part>, nut: Partial<Part> = {}): Part[] {
    return [
        { role: 'bearing', height_mm: 40, drop_mm: -10, part: 'mount', ...bearing },
        { role: 'nut', height_mm: 10, part: 'nut', ...nut },
    ];
}

test('lengths are the sums of the heights', async () => {
    const [best] = await rowsOf(box);
    expect(best).toMatchObject({
        parts: ['plate', 'ring', 'ring', 'low', 'mount', 'top', 'nut'],
        sound: true,
        clamped_length_mm: 5 + 3 + 3 + 9 + 14 + 6,
        shoulder_margin_mm: 40 - 38,
        thread_engaged_mm: 11,
        thread_shown_mm: 38 + 22 - 40 - 11,
        clearance_mm: 3 + 3 + 9 - 6,
        plate_to_bearing_mm: 3 + 3 + 9,
        // six pieces and the shoulder, 0.1 each; thread and nut besides
        shoulder_margin_low_mm: 2 - 0.7,
        shoulder_margin_high_mm: 2 + 0.7,
        thread_shown_low_mm: 9 - 0.9,
        clearance_low_mm: 9 - 0.3,
        box_stack_count: 1,
        left_parts: [],
    });
    expect(best!.shoulder_margin_rss_low_mm).toBeCloseTo(2 - Math.sqrt(7 * 0.01), 6);
    expect(best!.thread_shown_rss_low_mm).toBeCloseTo(9 - Math.sqrt(9 * 0.01), 6);
    expect(best!.clearance_rss_low_mm).toBeCloseTo(9 - Math.sqrt(3 * 0.01), 6);
});

test('as long as the shoulder, or shorter, is a nut on the shoulder', async () => {
    const [best] = await rowsOf(plain({ height_mm: 38 }));
    expect(best).toMatchObject({ sound: false, shoulder_margin_mm: 0, thread_engaged_mm: 10 });
    expect(stackReason(best!)).toContain('the nut bottoms on the shoulder');
});

test('a nut on the shoulder of too short a stack holds only the thread above the step', async () => {
    const [best] = await rowsOf(plain({ height_mm: 34 }));
    expect(best!.thread_engaged_mm).toBe(34 + 10 - 38);
});

test('a nut beyond the end of the thread holds what is left of it', async () => {
    const [best] = await rowsOf(plain({ height_mm: 53 }));
    expect(best).toMatchObject({ sound: false, thread_engaged_mm: 38 + 22 - 53, thread_shown_mm: -3 });
    expect(stackReason(best!)).toContain('the thread ends 3 mm below the top of the nut');
});

test('exactly at a limit at the worst tolerances is sound, a hundredth beyond is not', async () => {
    const margin = 38 + 0.3 + 0.1 + 0.1;
    const nut = 38 + 22 - 40 - 1.5 - 4 * 0.1;
    const clearance = 5;
    db = await boxes(
        {
            'margin at': plain({ height_mm: margin }),
            'margin under': plain({ height_mm: margin - 0.01 }),
            'thread at': plain({}, { height_mm: nut }),
            'thread beyond': plain({}, { height_mm: nut + 0.01 }),
            'clearance at': plain({ drop_mm: -clearance }),
            'clearance under': plain({ drop_mm: -clearance + 0.01 }),
        },
        [shaft],
    );
    const sound = (await stacksOf(db)).filter((row) => row.sound).map(({ kit }) => kit);
    expect(sound).toEqual(['clearance at', 'margin at', 'thread at']);
});

test('the pitch is that of the shaft', async () => {
    const nut = 38 + 22 - 40 - 1.25 - 4 * 0.1;
    const [fine] = await rowsOf(plain({}, { height_mm: nut }), { ...shaft, thread_pitch_mm: 1.25 });
    expect(fine!.sound).toBe(true);
    db.close();
    const [coarse] = await rowsOf(plain({}, { height_mm: nut }), shaft);
    expect(stackReason(coarse!)).toContain('1.5 mm are needed');
});

test('the worst case decides, not the root sum of squares', async () => {
    const [best] = await rowsOf([
        ...plain({ height_mm: 30 }),
        ...[1, 2, 3].map((part) => ({
            role: 'spacer',
            height_mm: 3,
            required: 'yes' as const,
            part: `ring${part}`,
        })),
    ]);
    // 30 + 9 - 38 = 1: 1 - 5 * 0.1 = 0.5 is enough
    expect(best).toMatchObject({ sound: true, shoulder_margin_low_mm: 0.5 });
    db.close();
    const [wider] = await rowsOf([
        ...plain({ height_mm: 30, height_tol_mm: 0.4 }),
        ...[1, 2, 3].map((part) => ({
            role: 'spacer',
            height_mm: 3,
            required: 'yes' as const,
            part: `ring${part}`,
        })),
    ]);
    // 1 - 0.4 - 4 * 0.1 = 0.2 is not, though 1 - sqrt(0.16 + 4 * 0.01) = 0.553 would be
    expect(wider).toMatchObject({ sound: false, shoulder_margin_low_mm: 0.2 });
    expect(wider!.shoulder_margin_rss_low_mm).toBeCloseTo(1 - Math.sqrt(0.2), 6);
    expect(stackReason(wider!)).toContain('only 0.2 mm at the worst tolerances');
});

test('one nut, one part of each role but spacers, no piece more often than the box holds it', async () => {
    const rows = await rowsOf(
        [
            ...box,
            { role: 'nut', height_mm: 9, part: 'low nut' },
            { role: 'dust_washer', height_mm: 1, count: 3 },
            { role: 'spacer', height_mm: 1, count: 0, part: 'none' },
        ],
        shaft,
        { shown: 1000 },
    );
    for (const { parts } of rows) {
        const count = (part: RegExp) => parts.filter((one) => part.test(one)).length;
        expect(count(/nut$/)).toBe(1);
        expect(parts.at(-1)).toMatch(/nut$/);
        expect(count(/washer/)).toBeLessThanOrEqual(1);
        expect(count(/ring/)).toBeLessThanOrEqual(2);
        expect(count(/none/)).toBe(0);
    }
    // plate or not, washer or not, two nuts, none to two rings; each set of spacers once
    expect(rows.length).toBe(2 * 2 * 2 * 3);
    expect(new Set(rows.map(({ parts }) => parts.join('\n'))).size).toBe(rows.length);
});

test('order from the seat upward, whatever the order of the rows', async () => {
    const heights = {
        nut: 9,
        dust_washer: 1,
        upper_adapter: 5,
        bearing: 14,
        lower_adapter: 8,
        spacer: 4,
        spring_plate: 6,
        bush: 2,
    };
    const [best] = await rowsOf(
        Object.entries(heights).map(([role, height_mm]) => ({
            role,
            height_mm,
            part: role,
            required: 'yes' as const,
            drop_mm: 3,
        })),
    );
    expect(best!.parts).toEqual(Object.keys(heights).reverse());
    expect(best!.clamped_length_mm).toBe(2 + 6 + 4 + 8 + 14 + 5 + 1);
});

test('fewest parts first, then the margin nearest the middle of 0.5 and 3 mm', async () => {
    const rows = await rowsOf([
        ...plain({ height_mm: 36 }),
        ...[2.8, 4.2, 3.5, 1.8].map((height_mm) => ({ role: 'spacer', height_mm, part: `${height_mm}` })),
    ]);
    const sound = rows.filter((row) => row.sound);
    // margins 1.5, 2.2 and 0.8 are 0.25, 0.45 and 0.95 off 1.75; 36 + 1.8 is no sound stack
    expect(sound.slice(0, 3).map(({ parts }) => parts[0])).toEqual(['3.5', '4.2', '2.8']);
    expect(sound.slice(3).map(({ parts }) => parts.length)).toEqual([4, 4, 4, 4, 4, 4, 5]);
});

test('parts for another shaft stay in the box', async () => {
    const [best] = await rowsOf([
        ...box.map((part) => ({ ...part, required: 'no' as const })),
        { role: 'nut', height_mm: 11, fits_diameter_mm: 16, part: 'nut 16' },
        { role: 'spacer', height_mm: 3, fits_diameter_mm: 12, part: 'ring 12' },
    ]);
    expect(best!.left_parts).toEqual(expect.arrayContaining(['nut 16', 'ring 12']));
});

test('a bore is taken for the shaft to 0.1 mm', async () => {
    db = await boxes({ K: plain({ fits_diameter_mm: 13.9 }), L: plain({ fits_diameter_mm: 14.2 }) }, [shaft]);
    const rows = await stacksOf(db);
    expect(rows.map(({ kit, parts }) => [kit, parts.length])).toEqual([
        ['K', 2],
        ['L', 1],
    ]);
    expect(stackReason(rows[1]!)).toContain('no bearing of the box goes on the 14 mm shaft');
});

test('of required parts of a role one that goes on is used; where none does, nothing is sound', async () => {
    const washers: Part[] = [
        { role: 'dust_washer', height_mm: 1, fits_diameter_mm: 14, required: 'yes', part: 'w14' },
        { role: 'dust_washer', height_mm: 1, fits_diameter_mm: 16, required: 'yes', part: 'w16' },
    ];
    db = await boxes({ both: [...plain({}), ...washers], other: [...plain({}), washers[1]!] }, [shaft]);
    const rows = await stacksOf(db);
    const [both] = rows;
    expect(both).toMatchObject({ kit: 'both', sound: true, parts: ['mount', 'w14', 'nut'] });
    const other = rows.filter(({ kit }) => kit === 'other');
    expect(other.every(({ sound }) => !sound)).toBe(true);
    expect(stackReason(other[0]!)).toBe('w16 is required, but does not go on the 14 mm shaft');
    expect(stackMissing(other[0]!)).toBe('a dust washer for a 14 mm shaft in place of w16');
});

test('a required spacer is in every stack', async () => {
    const rows = await rowsOf([
        ...plain({ height_mm: 37 }),
        { role: 'spacer', height_mm: 2, required: 'yes', part: 'ring', count: 2 },
    ]);
    expect(rows.map(({ parts }) => parts.filter((part) => part === 'ring').length)).toEqual([1, 2]);
});

test('the spring plate of the box, or the car keeps its own', async () => {
    const [ofBox] = await rowsOf(box);
    expect(ofBox!.spring_plate).toBe('kit');
    const kept = await stacksOf(db, { keep: true });
    expect(kept.every(({ parts, spring_plate }) => spring_plate === 'car' && !parts.includes('plate'))).toBe(
        true,
    );
    // 38 - 35 is short without the plate's own height; with 5 it is the stack of the box
    expect(kept[0]).toMatchObject({ sound: false, shoulder_margin_mm: 35 - 38 });
    const [told] = await stacksOf(db, { keep: true, plate_mm: 5 });
    expect(told).toMatchObject({
        sound: true,
        clamped_length_mm: 40,
        shoulder_margin_low_mm: 1.3,
        clearance_mm: 9,
    });
});

test('a required spring plate stays in the box where the car keeps its own', async () => {
    const [kept] = await rowsOf(
        [...plain({}), { role: 'spring_plate', height_mm: 4, required: 'yes', part: 'plate' }],
        shaft,
        { keep: true },
    );
    expect(kept).toMatchObject({ sound: true, parts: ['mount', 'nut'], left_parts: ['plate'] });
});

test('a box without bearings: the bearing sits in the spring plate, and no clearance is judged', async () => {
    const [best] = await rowsOf([
        { role: 'spring_plate', height_mm: 20, part: 'plate' },
        { role: 'upper_adapter', height_mm: 20, part: 'rubber' },
        { role: 'nut', height_mm: 9, part: 'nut' },
    ]);
    expect(best).toMatchObject({
        sound: true,
        bearing: 'spring_plate',
        clearance_mm: null,
        parts: ['plate', 'rubber', 'nut'],
    });
});

test('what is not given is not taken as 0: drop of the bearing, height of the nut', async () => {
    const { drop_mm: _, ...bearing } = plain({})[0]!;
    db = await boxes({ drop: [bearing, plain({})[1]!], nut: plain({}, { height_mm: 0 }) }, [shaft]);
    const [drop, nut] = await stacksOf(db);
    expect(drop).toMatchObject({ sound: false, clearance_mm: null, clearance_low_mm: null });
    expect(stackMissing(drop!)).toBe('the drop of mount in the hardware file');
    expect(nut).toMatchObject({ sound: false, thread_engaged_mm: null, thread_shown_mm: null });
    expect(stackMissing(nut!)).toBe('the height of nut in the hardware file');
});

test('both sides from one box: each piece counts once for each stack', async () => {
    const rows = await rowsOf(
        box.map((part) => ({ ...part, count: 2 })),
        shaft,
        { rules: { stack_count: 2 } },
    );
    // one ring a side: 37 - 38
    expect(rows[0]).toMatchObject({ sound: false, shoulder_margin_mm: -1 });
    const [four] = await rowsOf(
        box.map((part) => ({ ...part, count: part.role === 'spacer' ? 4 : 2 })),
        shaft,
        { rules: { stack_count: 2 } },
    );
    expect(four).toMatchObject({ sound: true, box_stack_count: 2 });
});
