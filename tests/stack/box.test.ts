import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { afterEach, expect, test } from 'vitest';
import { z } from 'zod';
import { hardware, shafts } from '../../fixtures/season/boxes.js';
import type { Database } from '../../src/db/database.js';
import { stack } from '../../src/model/stack.js';
import { changedRules, readRules, stackRules } from '../../src/model/stackRules.js';
import { boxes, type Part, stacksOf } from '../support/stacks.js';

let db: Database;
afterEach(() => db?.close());

/** The boxes of the example season, as its script makes them. */
async function season(): Promise<Database> {
    const kits = [...new Set(hardware.map(({ kit }) => String(kit)))];
    const parts = (kit: string) => hardware.filter((row) => row.kit === kit) as unknown as Part[];
    return boxes(
        Object.fromEntries(kits.map((kit) => [kit, parts(kit)])),
        shafts as unknown as Parameters<typeof boxes>[1],
    );
}

test('which shafts a box serves, what it lacks for the others, and what nobody needs', async () => {
    db = await season();
    const { rows, notes } = await stack(db, { kit: 'BIRCH-2' });
    expect(rows.map(({ shaft, rank, sound }) => [shaft, rank, sound])).toEqual([
        ['S10-26', 1, false],
        ['S12-30', 1, false],
        ['S14-36', 1, false],
        ['S14-46', 1, false],
        ['S16-40', 1, true],
    ]);
    expect(notes[0]).toBe('The box BIRCH-2 serves 1 of 5 shafts: S16-40.');
    // clearance 11 - 0.1 - 9 = 1.9, 3.1 short; thread 60 - 0.2 - 1.5 - 37.4 - 11.1 = 9.8 left
    expect(notes.find((note) => note.startsWith('S14-36'))).toContain(
        'Missing: a spacer of 3.2 to 9.7 mm between spring plate and mount.',
    );
    expect(notes).toContain(
        'No sound stack on a listed shaft uses B-plate-14, B-lower-14, B-upper-14, B-nut-14.',
    );
    expect(notes).toContain('The best stacks do without B-bush-16, though other sound ones use it.');
    expect(notes).toContain(
        'The smallest box found that serves the same shaft has 6 pieces: B-plate-16, B-spacer-16-6, B-lower-16, B-mount, B-upper-16, B-nut-16.',
    );
});

test('a part that no shaft of the file takes is named with its bore', async () => {
    db = await boxes(
        {
            K: [
                { role: 'bearing', height_mm: 40, drop_mm: -9 },
                { role: 'nut', height_mm: 9 },
                { role: 'nut', height_mm: 9, fits_diameter_mm: 18, part: 'nut 18' },
            ],
        },
        [{ shoulder_length_mm: 38, thread_length_mm: 22 }],
    );
    const { notes } = await stack(db, { kit: 'K' });
    expect(notes[0]).toBe('The box K serves S, the one shaft listed.');
    expect(notes).toContain('No listed shaft has the bore of nut 18 (18 mm).');
});

test('the smallest box shares parts between shafts', async () => {
    // 36 + 3.5 and 36 + 5 serve the shorter shaft, 36 + 5 + 3 and 36 + 8.5 the longer one: 5 and 3 together are fewest.
    const spacer = (height_mm: number): Part => ({ role: 'spacer', height_mm, part: `s${height_mm}` });
    db = await boxes(
        {
            K: [
                { role: 'bearing', height_mm: 36, drop_mm: -9, part: 'mount' },
                { role: 'nut', height_mm: 9, part: 'nut' },
                ...[3.5, 5, 3, 8.5].map(spacer),
            ],
        },
        [
            { shaft: 'short', shoulder_length_mm: 39.5, thread_length_mm: 14 },
            { shaft: 'long', shoulder_length_mm: 42, thread_length_mm: 14 },
        ],
    );
    const small = await db.rows(
        z.object({ part: z.string(), piece_count: z.int() }),
        `with found as (select kit, shaft, rank, parts from stacks('K', null, false, null, cast(map {} as map(varchar, double)), 40) where sound)
        select part, piece_count from smallest_box((select list(found) from found)) order by part`,
    );
    expect(small.map(({ part, piece_count }) => [part, piece_count])).toEqual([
        ['mount', 1],
        ['nut', 1],
        ['s3', 1],
        ['s5', 1],
    ]);
    const sound = (await stacksOf(db)).filter((row) => row.sound && row.shaft === 'long');
    expect(sound.map(({ parts }) => parts.length)).toContain(3);
});

test('a part counts as used where any sound stack has it', async () => {
    const part = fc.record({
        role: fc.constantFrom('bush', 'spacer', 'lower_adapter', 'upper_adapter', 'nut'),
        height_mm: fc.integer({ min: 1, max: 11 }),
        height_tol_mm: fc.constantFrom(0.1, 0.5),
    });
    const kits = fc.sample(fc.array(part, { minLength: 2, maxLength: 6 }), { numRuns: 60, seed: 3 });
    db = await boxes(
        Object.fromEntries(
            kits.map((parts, index) => [
                `kit ${index}`,
                [...parts, { role: 'bearing', height_mm: 20, drop_mm: -6 }, { role: 'nut', height_mm: 8 }],
            ]),
        ),
        [{ shoulder_length_mm: 30, thread_length_mm: 14 }],
    );
    const expected = new Set(
        (await stacksOf(db, { shown: 1000 }))
            .filter(({ sound }) => sound)
            .flatMap(({ kit, parts }) => parts.map((one) => `${kit}: ${one}`)),
    );
    const found = await db.rows(
        z.object({ kit: z.string(), part: z.string() }),
        `select kit, part from sound_parts(null, null, false, null, ${changedRules})`,
        { changed: '{}' },
    );
    expect(new Set(found.map(({ kit, part }) => `${kit}: ${part}`))).toEqual(expected);
    expect(expected.size).toBeGreaterThan(100);
});

test('sentences of one shaft: what stays in the box, ride height, how many stacks', async () => {
    db = await season();
    const { rows, notes } = await stack(db, { kit: 'AMBER-3', shaft: 'S14-36', limit: 2 });
    expect(rows.map(({ rank }) => rank)).toEqual([1, 2]);
    expect(notes[0]).toMatch(
        /^The box AMBER-3 makes a sound dry stack on S14-36: A-plate-14, 2 x A-spacer-14-5, /,
    );
    expect(notes[1]).toContain('Of these, A-upper-14, A-washer would go on this shaft');
    expect(notes[2]).toMatch(/^Ride height: 20 mm between spring plate and bearing/);
    expect(notes[3]).toContain('one such stack');
    expect(notes.at(-1)).toContain('without the spring first');
});

test("the car's own spring plate: what is taken, and what it may add", async () => {
    db = await season();
    const kit = 'AMBER-3';
    const untold = await stack(db, { kit, shaft: 'S14-46', keepSpringPlate: true });
    // 48.5 - 6 = 42.5: margin 46 + 0.3 + 0.1 + 0.7 - 42.5 = 4.6 short
    expect(untold.notes[1]).toMatch(
        /is not told and counts as 0 mm.* This stack is sound where it adds 4.7 to /,
    );
    const told = await stack(db, { kit, shaft: 'S14-46', keepSpringPlate: 6 });
    expect(told.rows[0]).toMatchObject({ sound: true, spring_plate: 'car', clamped_length_mm: 48.5 });
    expect(told.notes[1]).toBe(
        "The car's own spring plate is used and adds 6 mm between seat and nut face, as told.",
    );
});

test('names that are not there, nothing loaded and rules that cannot be are told', async () => {
    db = await season();
    await expect(stack(db, { kit: 'nope', shaft: 'S14-36' })).rejects.toThrow('There is no kit "nope"');
    await expect(stack(db, { kit: 'AMBER-3', shaft: 'nope' })).rejects.toThrow('There is no shaft "nope"');
    await expect(stack(db, { kit: 'AMBER-3', rules: { wish_margin_low_mm: 4 } })).rejects.toThrow(
        'wish_margin_high_mm',
    );
    db.close();
    db = await boxes({}, []);
    await expect(stack(db, { kit: 'AMBER-3' })).rejects.toThrow('holds no parts');
    expect(readRules(['min_clearance_mm=6', 'stack_count=2'])).toEqual({
        min_clearance_mm: 6,
        stack_count: 2,
    });
    for (const text of [
        'min_clearance_mm',
        'min_clearance_mm=-1',
        'min_clearance_mm=6,5',
        'min_clearance_mm=101',
    ])
        expect(() => readRules([text])).toThrow('cannot be read');
    expect(() => readRules(['clearance=6'])).toThrow('knows no "clearance"');
    expect(() => readRules(['stack_count=0'])).toThrow('whole number from 1 on');
});

test('the values that the rules are documented with are those that they have', async () => {
    db = await boxes({}, []);
    const [row] = await db.cells('select * from stack_rules');
    for (const { name, description } of stackRules())
        expect(`${name} ${row![name]}`).toBe(`${name} ${/; ([\d.]+)$/.exec(description)?.[1]}`);
    const changeable = readFileSync(
        new URL('../../sql/questions/805_changed_rules.sql', import.meta.url),
        'utf8',
    );
    for (const { name } of stackRules()) expect(changeable.includes(`changed['${name}']`)).toBe(true);
});
