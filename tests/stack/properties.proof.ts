import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { MeasuredStackRow } from '../../src/contracts/results/stack.js';
import { boxes, type Part, stacksOf } from '../support/stacks.js';

const roles = [
    'bush',
    'spring_plate',
    'spacer',
    'lower_adapter',
    'bearing',
    'upper_adapter',
    'dust_washer',
    'nut',
] as const;

const heightsOf = { bearing: [100, 200], nut: [60, 120] } as Record<string, [number, number]>;

/** A part with lengths in tenths of a millimetre; `required` only where told. */
const part = (mayBeRequired: boolean) =>
    fc.constantFrom(...roles, 'spacer' as const).chain((role) => {
        const [low, high] = heightsOf[role] ?? [5, 90];
        return fc.record({
            role: fc.constant(role),
            height_mm: fc.integer({ min: low, max: high }).map((tenths) => tenths / 10),
            height_tol_mm: fc.constantFrom(0.1, 0.1, 0.3),
            drop_mm:
                role === 'bearing'
                    ? fc.integer({ min: -20, max: 60 }).map((tenths) => tenths / 10)
                    : fc.constant(0),
            count: fc.constantFrom(1, 1, 2),
            required: fc.constantFrom<'yes' | 'no'>(
                ...(mayBeRequired ? (['no', 'no', 'yes'] as const) : (['no'] as const)),
            ),
        });
    });

/** A box with a bearing and a nut. */
const box = (mayBeRequired: boolean): fc.Arbitrary<Part[]> =>
    fc
        .tuple(
            fc.array(part(mayBeRequired), { minLength: 2, maxLength: 6 }),
            fc.integer({ min: 100, max: 200 }),
            fc.integer({ min: 60, max: 120 }),
            fc.integer({ min: -20, max: 60 }),
        )
        .map(([parts, bearing, nut, drop]) => [
            ...parts,
            { role: 'bearing', height_mm: bearing / 10, drop_mm: drop / 10, part: 'mount' },
            { role: 'nut', height_mm: nut / 10, part: 'fastener' },
        ]);

const shaft = { shoulder_length_mm: 27, thread_length_mm: 18 };
const samples = <T>(arbitrary: fc.Arbitrary<T>, count: number) =>
    fc.sample(arbitrary, { numRuns: count, seed: 7 });
const kitsOf = <T>(values: readonly T[]) =>
    Object.fromEntries(values.map((value, index) => [`kit ${index}`, value]));
const bestOf = (rows: readonly MeasuredStackRow[]) =>
    new Map(rows.filter(({ rank }) => rank === 1).map((row) => [row.kit, row]));

interface Tried {
    sound: boolean;
    own: boolean;
    pieces: number;
    off: number;
    missing: number;
}

/** Every assembly of a box one by one, lengths in tenths of a millimetre; best first. */
function tryAll(parts: readonly Part[]): Tried[] {
    const tenths = (value: number) => Math.round(value * 10);
    const groups = roles.map((role) => {
        const here = parts.filter((one) => one.role === role);
        const must = here.filter((one) => one.required === 'yes');
        if (role === 'spacer') {
            return here.reduce<Part[][]>(
                (sets, one) =>
                    sets.flatMap((set) =>
                        Array.from({ length: (one.count ?? 1) + 1 }, (_, n) => n)
                            .filter((n) => n > 0 || one.required !== 'yes')
                            .map((n) => [...set, ...Array<Part>(n).fill(one)]),
                    ),
                [[]],
            );
        }
        const single = (must.length > 0 ? must : here).map((one) => [one]);
        return must.length > 0 || role === 'bearing' || role === 'nut' ? single : [[], ...single];
    });
    const stacks = groups.reduce<Part[][]>(
        (before, group) => before.flatMap((one) => group.map((more) => [...one, ...more])),
        [[]],
    );
    return stacks
        .map((chosen) => {
            const sum = (of: readonly Part[], value: (one: Part) => number) =>
                of.reduce((total, one) => total + tenths(value(one)), 0);
            const height = (one: Part) => one.height_mm;
            const tol = (one: Part) => one.height_tol_mm ?? 0.1;
            const clamped = chosen.filter((one) => one.role !== 'nut');
            const gap = chosen.filter((one) => one.role === 'spacer' || one.role === 'lower_adapter');
            const nut = chosen.filter((one) => one.role === 'nut');
            const bearing = chosen.find((one) => one.role === 'bearing')!;
            const short = Math.max(
                270 + 1 + 3 - sum(clamped, height) + sum(clamped, tol),
                50 - (sum(gap, height) - tenths(bearing.drop_mm!)) + sum(gap, tol),
                0,
            );
            const room =
                270 +
                180 -
                2 -
                15 -
                sum(clamped, height) -
                sum(clamped, tol) -
                sum(nut, height) -
                sum(nut, tol);
            const sound = short === 0 && room >= 0;
            return {
                sound,
                own: !chosen.some((one) => one.role === 'spring_plate'),
                pieces: chosen.length,
                off: Math.abs(sum(clamped, height) - 270 - 17.5),
                missing: sound ? 0 : short + Math.max(short - room, 0),
            };
        })
        .sort(
            (a, b) =>
                Number(b.sound) - Number(a.sound) ||
                Number(a.own) - Number(b.own) ||
                a.missing - b.missing ||
                a.pieces - b.pieces ||
                a.off - b.off,
        );
}

test('the best of a box is the best of all its assemblies tried one by one', async () => {
    const all = samples(box(true), 120);
    const db = await boxes(kitsOf(all), [shaft]);
    const best = bestOf(await stacksOf(db));
    db.close();
    const found = all.map((_, index) => {
        const row = best.get(`kit ${index}`)!;
        const [short, room] = [Math.max(row.short_mm, 0), row.room_mm];
        return {
            sound: row.sound,
            own: row.spring_plate === 'car',
            pieces: row.parts.length,
            off: Math.abs(row.shoulder_margin_mm * 10 - 17.5).toFixed(3),
            missing: (row.sound ? 0 : 10 * (short + Math.max(short - room, 0))).toFixed(3),
        };
    });
    const tried = all.map((parts) => {
        const first = tryAll(parts)[0]!;
        return { ...first, off: first.off.toFixed(3), missing: first.missing.toFixed(3) };
    });
    expect(found).toEqual(tried);
    const soundCount = tried.filter(({ sound }) => sound).length;
    expect(soundCount).toBeGreaterThan(20);
    expect(soundCount).toBeLessThan(100);
});

test('adding a part that need not be used never makes a sound stack unsound', async () => {
    const pairs = samples(fc.tuple(box(true), part(false)), 150);
    const db = await boxes(
        {
            ...kitsOf(pairs.map(([parts]) => parts)),
            ...Object.fromEntries(pairs.map(([parts, more], index) => [`more ${index}`, [...parts, more]])),
        },
        [shaft],
    );
    const best = bestOf(await stacksOf(db));
    db.close();
    const sound = pairs.map((_, index) => index).filter((index) => best.get(`kit ${index}`)!.sound);
    expect(sound.length).toBeGreaterThan(20);
    expect(sound.filter((index) => !best.get(`more ${index}`)!.sound)).toEqual([]);
});

test('all lengths and rules twice as long: all margins twice as long, the same verdicts', async () => {
    const all = samples(box(true), 60);
    const twice = (parts: readonly Part[]) =>
        parts.map((one) => ({
            ...one,
            height_mm: 2 * one.height_mm,
            height_tol_mm: 2 * (one.height_tol_mm ?? 0.1),
            drop_mm: 2 * (one.drop_mm ?? 0),
        }));
    const db = await boxes(kitsOf(all), [shaft]);
    const single = bestOf(await stacksOf(db));
    db.close();
    const long = await boxes(kitsOf(all.map(twice)), [
        {
            shoulder_length_mm: 54,
            thread_length_mm: 36,
            thread_pitch_mm: 3,
            shoulder_tol_mm: 0.2,
            thread_tol_mm: 0.2,
        },
    ]);
    const rules = { min_margin_mm: 0.6, wish_margin_low_mm: 1, wish_margin_high_mm: 6, min_clearance_mm: 10 };
    const double = bestOf(await stacksOf(long, { rules }));
    long.close();
    for (const [kit, row] of single) {
        const scaled = double.get(kit)!;
        expect(scaled).toMatchObject({ parts: row.parts, sound: row.sound });
        for (const length of [
            'clamped_length_mm',
            'shoulder_margin_mm',
            'shoulder_margin_low_mm',
            'thread_engaged_mm',
            'thread_shown_low_mm',
            'clearance_mm',
            'clearance_low_mm',
        ] as const) {
            expect(scaled[length]! / 2).toBeCloseTo(row[length]!, 6);
        }
        expect(scaled.shoulder_margin_rss_low_mm / 2).toBeCloseTo(row.shoulder_margin_rss_low_mm, 5);
    }
});

test('the order of the rows and the number of threads change no number', async () => {
    const all = samples(box(true), 40);
    const numbers = (rows: readonly MeasuredStackRow[]) =>
        [...bestOf(rows).values()].map(
            ({ kit, sound, clamped_length_mm, shoulder_margin_low_mm, clearance_mm, parts }) => ({
                kit,
                sound,
                clamped_length_mm,
                shoulder_margin_low_mm: sound ? shoulder_margin_low_mm : null,
                clearance_mm: sound ? clearance_mm : null,
                pieces: parts.length,
            }),
        );
    const named = all.map((parts) => parts.map((one, index) => ({ part: `p${index}`, ...one })));
    const db = await boxes(kitsOf(named), [shaft], 1);
    const one = await stacksOf(db);
    db.close();
    const same = await boxes(kitsOf(named), [shaft], 2);
    expect(await stacksOf(same)).toEqual(one);
    same.close();
    const turned = await boxes(kitsOf(named.map((parts) => [...parts].reverse())), [shaft]);
    const sounds = (rows: MeasuredStackRow[]) =>
        numbers(rows).map(({ kit, sound, pieces }) => [kit, sound, pieces]);
    expect(sounds(await stacksOf(turned))).toEqual(sounds(one));
    turned.close();
});
