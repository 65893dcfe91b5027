import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { advise } from '../../src/model/advise.js';
import { clocking } from '../../src/model/clocking.js';
import { fixed } from '../../src/report/format.js';
import { escapeText } from '../../src/report/html.js';
import { marksText } from '../../src/report/plan.js';
import { launchChromium } from '../support/chromium.js';
import { longName } from '../support/pages/card.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { renderReport, reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
const out = mkdtempSync(join(tmpdir(), 'strutmark-card-'));
let db: Database;
beforeAll(async () => {
    db = await reportDatabase('card');
});
afterAll(() => {
    rmSync(out, { recursive: true });
});

const sheets = (page: string) => page.split('<section class="sheet"').slice(1);

/** Cells of the row `name`: left and right of each target. */
function rowOf(sheet: string, name: string): string[] {
    const row = new RegExp(`<th scope="row">${name}(.*)`).exec(sheet)![1]!;
    return row
        .split('<td')
        .slice(1)
        .map((cell) => cell.replace(/^[^>]*>/, '').replace(/<[^>]+>/g, ''));
}

test('one card a car, with what advise says of it, names shown as text', async () => {
    const page = await reportPage('card', db, stamp);
    expect(sheets(page)).toHaveLength(6);
    expect(page.includes('<img')).toBe(false);
    const card = sheets(page).find((sheet) =>
        sheet.startsWith(` aria-label="Setting card of ${escapeText(markup)}"`),
    )!;
    const { rows } = await advise(db, { vehicle: markup, targets: ['street', markup] });
    expect(rows).toHaveLength(4);
    for (const row of rows) {
        expect(card).toContain(`<b class="big">${marksText(row.mark_1, row.mark_2)}</b>`);
        expect(card).toContain(`<b>${fixed(row.camber_deg, 2)}</b>`);
        expect(card).toContain(`${fixed(row.toe_put_back_deg, 2)}</b>`);
    }
    const chances = sheets(page).flatMap((sheet) => rowOf(sheet, 'Chance'));
    expect(chances).toContain('under 0.01');
    for (const chance of chances) expect(['0.00', '1.00']).not.toContain(chance);
    for (const word of [
        'A compressed spring can kill',
        'Checked by',
        'On arrival',
        'On leaving',
        'outboard',
        'front',
    ])
        expect(card).toContain(word);
    expect(card).not.toMatch(/torque(?!s[ ,]|\.)/);
});

test('toe to add, its turns, final toe, targets and tolerances stand apart', async () => {
    const page = await reportPage('card', db, stamp, { vehicle: markup, arm_mm: 110, turn_mm: 1.5 });
    const [card] = sheets(page);
    const present = await db.cells(
        'select corner, toe_deg from present_corners where vehicle = $vehicle order by corner',
        { vehicle: markup },
    );
    const now = present.map(({ toe_deg }) => `${fixed(toe_deg as number, 2)} as it is`);
    expect(rowOf(card!, 'Final toe')).toEqual(['0.05 ±0.05', '0.05 ±0.05', ...now]);
    const heads = card!.slice(0, card!.indexOf('Set mark')).replaceAll('\u00a0', ' ');
    expect(heads).toContain(
        'camber −0.9 ±0.3 · caster 6.5 ±1 · toe 0.05 ±0.05 · left − right within: camber 0.3<',
    );
    expect(heads).toContain('>camber −1.8 ±0.2<');
    // One turn of a 1.5 mm thread at an arm of 110 mm: asin(1.5 / 110) = 0.7813 deg.
    const { rows } = await advise(db, { vehicle: markup, targets: ['street', markup] });
    const turns = rowOf(card!, 'Tie rod').map((cell) => Number(cell.replace('−', '-').replace(' turns', '')));
    expect(turns).toHaveLength(4);
    for (const [place, row] of rows.entries())
        expect(Math.abs(turns[place]! - row.toe_put_back_deg / 0.7813)).toBeLessThan(0.011);
    expect((await reportPage('card', db, stamp, { vehicle: markup })).includes('>Tie rod<')).toBe(false);
});

test('a low chance names the limit that costs it', async () => {
    const page = await reportPage('card', db, stamp);
    const { rows } = await advise(db, { vehicle: markup, targets: ['street'] });
    for (const sheet of sheets(page))
        for (const cell of rowOf(sheet, 'Whole car')) {
            const low = cell.startsWith('under') || Number(cell.slice(0, 4)) < 0.795;
            expect(/costs most: .+\(.+\)/.test(cell), cell).toBe(low);
        }
    const each = [
        ...rows.flatMap((row) => [row.p_camber_in_tolerance, row.p_caster_in_tolerance]),
        rows[0]!.p_cross_camber,
        rows[0]!.p_cross_caster,
    ].filter((p) => p !== null);
    expect(each).toHaveLength(5);
    expect(Math.min(...each)).toBeGreaterThanOrEqual(rows[0]!.p_both! - 1e-9);
});

test('a choice leaves one car and one target; a car without plates has no card', async () => {
    const one = await reportPage('card', db, stamp, { vehicle: markup, target: 'street' });
    expect(sheets(one)).toHaveLength(1);
    expect(sheets(one)[0]).not.toContain('track');
    const none = await reportPage('card', db, stamp, { vehicle: 'not there' });
    expect(sheets(none)).toHaveLength(0);
    expect(none).toContain('There is no card to make');
});

test('printing the cards gives one sheet of A5 for each car and nothing else', async () => {
    const { file } = await renderReport('card', db, {
        out,
        stamp,
        choice: { arm_mm: 110, turn_mm: 1.5 },
    });
    const browser = await launchChromium();
    try {
        const page = await browser.newPage({ colorScheme: 'dark' });
        await page.goto(pathToFileURL(file).href);
        const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
        expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(6);
        // ISO 216: A5 is 148 mm x 210 mm, 419.5 x 595.3 points.
        for (const [, width, height] of pdf.matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)) {
            expect(Math.abs(Number(width) - 419.5)).toBeLessThan(1);
            expect(Math.abs(Number(height) - 595.3)).toBeLessThan(1);
        }
        await page.emulateMedia({ media: 'print' });
        for (const hidden of ['h1', '.answer', '.findings', 'dl', '.cautions', 'footer'])
            expect(await page.locator(hidden).first().isVisible(), hidden).toBe(false);
        const sizes = await page.locator('.sheet').evaluateAll((found) =>
            found.map((sheet) => ({
                text: sheet.textContent!,
                wide: [...sheet.querySelectorAll('td, th, h3, h4')].filter(
                    (cell) => cell.scrollWidth > cell.clientWidth + 1,
                ).length,
            })),
        );
        expect(sizes).toHaveLength(6);
        expect(sizes.filter(({ text }) => text.includes(longName))).toHaveLength(1);
        for (const { text, wide } of sizes) {
            expect(wide).toBe(0);
            expect(text).toMatch(/as read \d{4}-\d{2}-\d{2}/);
        }
    } finally {
        await browser.close();
    }
});

test('the page about clocking takes the chassis with the most cars, or what is chosen', async () => {
    const page = await reportPage('clocking', db, stamp);
    expect(page).toContain('the median car of');
    const [kit] = await db.cells('select kit from kits order by kit desc limit 1');
    const chosen = await reportPage('clocking', db, stamp, {
        vehicle: markup,
        kit: kit!.kit as string,
        target: 'street',
    });
    const { rows } = await clocking(db, { vehicle: markup, kit: kit!.kit as string, targets: ['street'] });
    const [left, right] = rows;
    expect(chosen).toContain(
        escapeText(
            `${kit!.kit} on ${markup}: front left the ${left!.plate_hand} plate in index ${left!.plate_index} and front right the ${right!.plate_hand} plate in index ${right!.plate_index}.`,
        ),
    );
});
