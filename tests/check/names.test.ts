import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { check } from '../../src/model/check.js';
import { checkNeeds, checks } from '../../src/model/checks.js';
import { modelOf, type Rows } from '../support/memory.js';

const query = checks().find(({ name }) => name === 'split_names')!.query;

async function findings(input: Readonly<Record<string, Rows>>) {
    const db = await modelOf(input, undefined, [query]);
    try {
        return (await check(db, { only: 'split_names' })).rows;
    } finally {
        db.close();
    }
}

const names = ['vehicle', 'chassis', 'technician', 'gauge'] as const;

/** Visit `n` of a car that has read camber once; what is not given is of that visit alone. */
function visit(n: number, more: Readonly<Record<string, string>> = {}) {
    return {
        vehicle: `${n}`,
        chassis: `${n}`,
        corner: 'FL',
        measured_at: '2026-01-01',
        visit: `visit of ${n}`,
        visit_kind: 'check',
        phase: 'before',
        camber_deg: -1,
        technician: `${n}`,
        gauge: `${n}`,
        ...more,
    };
}

const word = fc.array(fc.constantFrom(...'abcdefghijklmnopqrstuvwxyzäéøñçß'), { minLength: 2, maxLength: 8 });
const name = fc
    .tuple(
        word,
        fc.constantFrom(' ', '-', '_', ' - '),
        word,
        fc.constantFrom('', ' ', '-'),
        fc.nat({ max: 999 }),
    )
    .map(([one, gap, two, join, number]) =>
        `${one.join('')}${gap}${two.join('')}${join}${number}`.normalize('NFC'),
    );

/** Ways in which people write one name again. */
const ways: Readonly<Record<string, (text: string) => string>> = {
    'upper case': (text) => text.toUpperCase().normalize('NFC').replaceAll('SS', 'ß'),
    'first letter': (text) => text.charAt(0).toUpperCase() + text.slice(1),
    'letters and accents apart': (text) => `${text}é`.normalize('NFD').slice(0, -2),
    'two spaces': (text) => text.replace(' ', '  '),
    'no-break space': (text) => text.replace(' ', '\u00a0'),
    'space around': (text) => ` ${text} `,
    'long dash': (text) => text.replace('-', '\u2013'),
    'number joined': (text) => text.replace(/[ -](?=\d)/, ''),
    'number apart': (text) => text.replace(/(?<=\p{L})(?=\d)/u, ' '),
    'two dashes': (text) => text.replace('-', '--'),
    underscore: (text) => text.replace(/[ -]/, '_'),
    'dash behind': (text) => `${text}-`,
    'sign without width': (text) => `${text.slice(0, 1)}\u200b${text.slice(1)}`,
};

/** Names far enough from each other that none is another spelling of one before it. */
function different(count: number, seed: number): string[] {
    const plain = (text: string) =>
        text
            .normalize('NFD')
            .toLowerCase()
            .replace(/[^a-zß0-9]/g, '');
    const found = new Map<string, string>();
    for (const text of fc.sample(name, { numRuns: count, seed })) found.set(plain(text), text);
    return [...found.values()];
}

test('random names written in another way are found, each once; the others are not', async () => {
    const pairs = different(150, 7).flatMap((text, i) => {
        const [way, write] = Object.entries(ways)[i % Object.keys(ways).length]!;
        const other = write(text);
        return other === text ? [] : [{ way, column: names[i % names.length]!, text, other }];
    });
    expect(new Set(pairs.map(({ way, column }) => `${way} ${column}`)).size).toBeGreaterThan(35);
    const readings = [
        ...pairs.flatMap(({ column, text, other }, i) => [
            visit(1000 + 2 * i, { [column]: text }),
            visit(1001 + 2 * i, { [column]: other }),
        ]),
        ...different(150, 8).map((text, i) => visit(5000 + i, { [names[i % names.length]!]: text })),
    ];
    const rows = await findings({ readings });
    const missed = pairs.filter(
        ({ text, other }) =>
            !rows.some(({ finding }) => finding.includes(`"${text}"`) && finding.includes(`"${other}"`)),
    );
    expect(missed).toEqual([]);
    expect(rows.length).toBe(pairs.length);
    expect(
        rows.every(({ file, line, p_mistake }) => file === 'readings.csv' && line! > 1 && p_mistake! > 0.9),
    ).toBe(true);
});

test('kits, targets and visits of one car too; the message says what differs', async () => {
    const rows = await findings({
        readings: [visit(1), visit(1, { visit: 'VISIT of 1' }), visit(2, { visit: 'VISIT of 1' })],
        kits: [{ kit: 'AMBER-3' }, { kit: 'Amber–3' }, { kit: 'AMBER-3', chassis: 'X' }],
        targets: [{ target: 'Köln' }, { target: 'Köln'.normalize('NFD') }],
    });
    expect(rows.map(({ finding }) => finding).sort()).toEqual([
        'kit "Amber–3" differs from "AMBER-3" only in spaces, dashes or characters that do not show',
        `target "${'Köln'.normalize('NFD')}" differs from "Köln" only in the Unicode form of a letter, which does not show`,
        'visit "VISIT of 1" (1 reading) differs from "visit of 1" (1) only in letter case',
    ]);
});

/** `count` visits of one car and chassis. */
const seen = (vehicle: string, chassis: string, count: number) =>
    Array.from({ length: count }, (_, i) =>
        visit(0, { vehicle, chassis, visit: `${vehicle} ${i}`, technician: 'A', gauge: 'G' }),
    );

describe('names that only look alike', () => {
    test.each([
        ['numbers', Array.from({ length: 12 }, (_, i) => `CAR-${i + 1}`)],
        ['numbers and words', Array.from({ length: 12 }, (_, i) => `Otter ${i + 1}`)],
        ['single letters', [...'ABCDEFGH'].map((letter) => `Team ${letter}`)],
        ['short words', ['MK I', 'MK II', 'MK III', 'MK IV', 'GTI', 'GTS', 'GT']],
        ['signs', ['camber 1', 'camber -1', '-1.5', '1.5', '1-1', '11']],
        ['letters at the end of a word', [...'ABCDEFGH'].map((letter) => `OTTER${letter}`)],
    ])('%s give no finding, however many readings they have', async (_, all) => {
        const readings = all.flatMap((text, i) => seen(text, text, i % 3 === 0 ? 40 : 1 + (i % 3)));
        expect(await findings({ readings })).toEqual([]);
    });
});

test('a rare name one letter off a well-known one is told as sure as the counts allow', async () => {
    const typos = ['OTTRE', 'OTER', 'OTTTER', 'ORTER'];
    const found = async (count: number) =>
        findings({
            readings: [
                ...seen('car 1', 'OTTER', count),
                ...seen('car 2', 'STOAT', count),
                ...typos.flatMap((chassis, i) => seen(`car ${3 + i}`, chassis, 1)),
            ],
        });
    const rows = await found(40);
    expect(rows.map(({ chassis }) => chassis)).toEqual(typos);
    // 40 visits, mistyped once in 200, against (0 + 1/2) / (2 + 10) neighbours.
    const odds = 40 / 200 / (0.5 / 12);
    expect(rows[0]!.p_mistake).toBeCloseTo(odds / (1 + odds), 12);
    expect(rows[0]!.finding).toBe('chassis "OTTRE" (1 reading) is one letter off "OTTER" (40)');
    expect(await found(6)).toEqual([]);
});

test('a gauge in another spelling is told once', async () => {
    const db = await modelOf(
        {
            readings: [...seen('car', 'OTTER', 6), visit(7, { gauge: 'g' }), visit(8, { gauge: 'other' })],
        },
        1,
        checkNeeds({}),
    );
    const { rows } = await check(db);
    db.close();
    expect(rows.filter(({ finding }) => finding.includes('gauge')).map((row) => row.check)).toEqual([
        'split_names',
        'unfamiliar_gauge',
    ]);
});
