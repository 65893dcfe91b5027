import { afterEach, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { stackMissing } from '../../src/model/stackWords.js';
import { boxes, type Part, type Shaft, stacksOf } from '../support/stacks.js';

let db: Database;
afterEach(() => db.close());

async function missing(parts: readonly Part[], on: Shaft): Promise<string | null> {
    db = await boxes({ K: parts }, [on]);
    return stackMissing((await stacksOf(db))[0]!);
}

const long: Shaft = { shoulder_length_mm: 38, thread_length_mm: 22 };

test('a spacer, with the range that the thread leaves and its own tolerance taken off', async () => {
    // Margin: 38 + 0.3 + 0.2 - 36.5 = 2.0 short. Thread: 38 + 18.8 - 0.2 - 1.5 - 36.5 - 0.1 - 13.7 - 0.1 = 4.7 left.
    const parts: Part[] = [
        { role: 'bearing', height_mm: 36.5, drop_mm: -9, part: 'mount' },
        { role: 'nut', height_mm: 13.7, part: 'nut' },
    ];
    expect(await missing(parts, { shoulder_length_mm: 38, thread_length_mm: 18.8 })).toBe(
        'a spacer of 2.1 to 4.6 mm between spring plate and mount',
    );
});

test('a spacer for the clearance alone', async () => {
    // Clearance 9 - 0.1 - 6 = 2.9, so 2.1 short; thread: 60 - 0.2 - 1.5 - (5 + 9 + 20 + 6 + 0.4) - 11.1 = 6.8 left
    const parts: Part[] = [
        { role: 'spring_plate', height_mm: 5 },
        { role: 'lower_adapter', height_mm: 9, required: 'yes' },
        { role: 'bearing', height_mm: 20, drop_mm: 6 },
        { role: 'upper_adapter', height_mm: 6, required: 'yes' },
        { role: 'nut', height_mm: 11 },
    ];
    expect(await missing(parts, long)).toBe('a spacer of 2.2 to 6.7 mm between spring plate and mount');
});

test('a spacer for the clearance, where the thread has no room for it', async () => {
    // As before, but the upper adapter is 11 mm: 1.8 left, 2.2 + 0.1 - 1.8 = 0.5 too much
    const parts: Part[] = [
        { role: 'spring_plate', height_mm: 5 },
        { role: 'lower_adapter', height_mm: 9, required: 'yes' },
        { role: 'bearing', height_mm: 20, drop_mm: 6 },
        { role: 'upper_adapter', height_mm: 11, required: 'yes' },
        { role: 'nut', height_mm: 11 },
    ];
    expect(await missing(parts, long)).toBe(
        'a spacer of 2.2 mm between spring plate and mount, and either 0.5 mm less height above the mount or below the spring plate, or as much more thread',
    );
});

test('less height', async () => {
    // 38 + 22 - 0.2 - 1.5 - 50 - 0.1 - 9.1 = -0.9; margin 12 - 0.2 - 0.3 = 11.5 to give away
    const parts: Part[] = [
        { role: 'bearing', height_mm: 50, drop_mm: -9 },
        { role: 'nut', height_mm: 9 },
    ];
    expect(await missing(parts, long)).toBe('parts lower by 0.9 to 11.5 mm in all, or 0.9 mm more thread');
});

test('a thread that no height suits', async () => {
    // Margin 1 - 0.2 - 0.3 = 0.5 to give away, thread 38 + 10 - 0.2 - 1.5 - 39.1 - 9.1 = -1.9
    const parts: Part[] = [
        { role: 'bearing', height_mm: 39, drop_mm: -9 },
        { role: 'nut', height_mm: 9 },
    ];
    expect(await missing(parts, { shoulder_length_mm: 38, thread_length_mm: 10 })).toBe(
        '1.9 mm more thread, or a nut lower by as much',
    );
});

test('a nut', async () => {
    // 38 + 22 - 0.2 - 1.5 - 40.1 = 18.2 left, less 0.1 for the tolerance of the nut
    const parts: Part[] = [
        { role: 'bearing', height_mm: 40, drop_mm: -9 },
        { role: 'nut', height_mm: 9, fits_diameter_mm: 16 },
    ];
    expect(await missing(parts, long)).toBe('a nut for a 14 mm shaft, at most 18.1 mm high');
});

test('a spacer of the range named makes the stack sound, one outside it does not', async () => {
    const parts: Part[] = [
        { role: 'bearing', height_mm: 36.5, drop_mm: -9 },
        { role: 'nut', height_mm: 13.7 },
    ];
    const spacer = (height_mm: number): Part => ({ role: 'spacer', height_mm });
    db = await boxes(
        Object.fromEntries(
            [1.9, 2.1, 4.6, 4.8].map((height) => [String(height), [...parts, spacer(height)]]),
        ),
        [{ shoulder_length_mm: 38, thread_length_mm: 18.8 }],
    );
    const best = (await stacksOf(db)).filter(({ rank }) => rank === 1);
    expect(best.map(({ kit, sound }) => [kit, sound])).toEqual([
        ['1.9', false],
        ['2.1', true],
        ['4.6', true],
        ['4.8', false],
    ]);
});
