import { readFileSync } from 'node:fs';
import { beforeAll, expect, test } from 'vitest';
import { type Rows, schemas } from '../../reports/stack/rows.js';
import { sideView } from '../../reports/stack/sideView.js';
import { spread } from '../../reports/stack/spread.js';
import type { Database } from '../../src/db/database.js';
import { cautions } from '../../src/report/cautions.js';
import { escapeText } from '../../src/report/html.js';
import { loadReport } from '../../src/report/registry.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { reportPage } from '../support/reportPage.js';
import { boxes } from '../support/stacks.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
let db: Database;
let rows: Rows;

async function rowsOf(from: Database): Promise<Rows> {
    const { queries } = await loadReport('stack');
    const entries = Object.entries(schemas).map(async ([name, schema]) => {
        const sql = readFileSync(queries.get(name)!, 'utf8');
        const choice = /\$shaft/.test(sql) ? { kit: null, shaft: null } : { kit: null };
        return [name, await from.rows(schema, sql, choice)];
    });
    return Object.fromEntries(await Promise.all(entries)) as Rows;
}

beforeAll(async () => {
    db = await reportDatabase('stack');
    rows = await rowsOf(db);
});

test('the picture of the lengths has every best stack that lacks no part, with an arrow where it ends', () => {
    const whole = rows.stacks.filter(({ defects }) => defects.length === 0);
    for (const [measure, length] of [
        ['margin', 'shoulder_margin_mm'],
        ['thread', 'thread_shown_mm'],
        ['clearance', 'clearance_mm'],
    ] as const) {
        const here = rows.limits.filter((row) => row.measure === measure);
        const known = whole.filter((stack) => stack[length] !== null);
        expect(here.map(({ label }) => label).sort()).toEqual(
            known.map(({ kit, shaft }) => `${kit} on ${shaft}`).sort(),
        );
        for (const row of here) {
            const { frame_low_mm: low, frame_high_mm: high } = row;
            expect(row.beyond_low_mm).toBe(row.low_mm < low ? low : null);
            expect(row.beyond_high_mm).toBe(row.high_mm > high ? high : null);
            const shown = [
                row.shown_mm,
                row.shown_low_mm,
                row.shown_high_mm,
                row.beyond_low_mm,
                row.beyond_high_mm,
            ];
            const drawn = shown.filter((mm) => mm !== null);
            expect(drawn.length).toBeGreaterThan(0);
            for (const mm of drawn) expect(mm >= low && mm <= high).toBe(true);
        }
    }
    expect(rows.limits.some((row) => row.beyond_low_mm !== null && !row.sound)).toBe(true);
});

test('the layers of a stack stand on each other and end at the clamped length', () => {
    expect(rows.stacks.length).toBe(15);
    for (const stack of rows.stacks) {
        const layers = rows.layers.filter(({ kit, shaft }) => kit === stack.kit && shaft === stack.shaft);
        expect(layers.map(({ part }) => part)).toEqual(stack.parts);
        let top = 0;
        for (const layer of layers) {
            expect(layer.low_mm).toBeCloseTo(top, 9);
            if (layer.role !== 'nut') top += layer.height_mm;
        }
        expect(top).toBeCloseTo(stack.clamped_length_mm, 9);
    }
});

test('heights are drawn to one scale: parts, shaft and bar', () => {
    const stack = rows.stacks.find(({ sound }) => sound)!;
    const layers = rows.layers.filter(({ kit, shaft }) => kit === stack.kit && shaft === stack.shaft);
    const { svg } = sideView(stack, layers);
    const heights = [...svg.text.matchAll(/<rect [^>]*height="([\d.]+)"/g)].map(([, height]) =>
        Number(height),
    );
    const bar = Number(/h([\d.]+)m0,-4v8/.exec(svg.text)![1]) / 10;
    const expected = [
        ...layers.map(({ height_mm }) => height_mm),
        8,
        stack.shoulder_length_mm,
        stack.thread_length_mm,
    ];
    for (const [index, height] of expected.entries()) expect(heights[index]! / bar).toBeCloseTo(height, 0);
});

test('labels keep their distance and their order', () => {
    expect(spread([10, 11, 50], 13, 0, 100)).toEqual([10, 23, 50]);
    expect(spread([99, 98, 5], 13, 0, 100)).toEqual([100, 87, 5]);
    expect(spread([], 13, 0, 100)).toEqual([]);
});

test('the page says what the command says, carries the cautions, and shows names as text', async () => {
    const page = await reportPage('stack', db, stamp);
    expect(page.includes('Makes a sound stack on 3 of 5 shafts: S12-30, S14-36 and S14-46.')).toBe(true);
    expect(page.includes('a spacer of 3.2 to 9.7 mm between spring plate and mount')).toBe(true);
    expect(page.includes(escapeText(markup))).toBe(true);
    expect(page.includes('<img')).toBe(false);
    for (const caution of Object.values(cautions)) expect(page.includes(escapeText(caution))).toBe(true);
    expect(page.match(/<figcaption>[^<]* on [^<]*: (not )?sound/g)).toHaveLength(9);
});

test('a box and a shaft chosen: one drawing, sound or not', async () => {
    const page = await reportPage('stack', db, stamp, { kit: 'AMBER-3', shaft: 'S10-26' });
    expect(page.includes('Not sound. No nut of the box goes on the 10 mm shaft')).toBe(true);
    expect(page.match(/<figcaption>[^<]* on [^<]*: (not )?sound/g)).toHaveLength(1);
});

test('an empty database has a page that says what to load', async () => {
    const empty = await boxes({}, []);
    const page = await reportPage('stack', empty, stamp);
    empty.close();
    expect(page.includes('Load a shafts file and a hardware file.')).toBe(true);
});

test('no number is lost where lengths are not known', async () => {
    const odd = await boxes({ K: [{ role: 'bearing', height_mm: 40 }], L: [{ role: 'nut', height_mm: 0 }] }, [
        { shoulder_length_mm: 38, thread_length_mm: 22 },
    ]);
    const page = await reportPage('stack', odd, stamp);
    odd.close();
    expect(/NaN|undefined|Infinity/.test(page.split('<script')[0]!)).toBe(false);
});
