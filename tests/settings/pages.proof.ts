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
import { renderReport, reportPage } from '../../src/report/renderReport.js';
import { launchChromium } from '../support/chromium.js';
import cardDatabase from '../support/pages/card.js';
import { markup } from '../support/pages/slopes.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
const out = mkdtempSync(join(tmpdir(), 'strutmark-card-'));
let db: Database;
beforeAll(async () => {
    db = await cardDatabase();
});
afterAll(() => {
    db.close();
    rmSync(out, { recursive: true });
});

const sheets = (page: string) => page.split('<section class="sheet"').slice(1);

/** Cells of the row `name` of the first corner, the head left out: now, then the targets. */
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
        expect(card).toContain(`<td class="big">${marksText(row.mark_1, row.mark_2)}`);
        expect(card).toContain(`<b>${fixed(row.camber_deg, 2)}</b>`);
        expect(card).toContain(`<b>${fixed(row.toe_put_back_deg, 2)}</b>`);
    }
    const chances = sheets(page).flatMap((sheet) => rowOf(sheet, 'chance').slice(1));
    expect(chances).toContain('under 0.01');
    for (const chance of chances) expect(['0.00', '1.00']).not.toContain(chance);
    for (const word of [
        'A compressed spring can kill',
        'signature',
        'as found',
        'as left',
        'outboard',
        'forward',
    ]) {
        expect(card).toContain(word);
    }
});

test('toe to add, final toe, targets and tolerances stand apart', async () => {
    const page = await reportPage('card', db, stamp, { vehicle: markup });
    const [card] = sheets(page);
    const [present] = await db.cells(
        `select toe_deg from present_corners where vehicle = $vehicle and corner = 'FL'`,
        { vehicle: markup },
    );
    expect(rowOf(card!, 'add toe')[0]).toBe('');
    expect(rowOf(card!, 'final toe')).toEqual([
        fixed(present!.toe_deg as number, 2),
        '0.05 ±0.05',
        `${fixed(present!.toe_deg as number, 2)}, as now`,
    ]);
    const [, street, track] = rowOf(card!, 'camber');
    expect(street).toMatch(/ aim −0\.9 ±0\.3$/);
    expect(track).toMatch(/ aim −1\.8 ±0\.2$/);
    expect(rowOf(card!, 'caster')[1]).toMatch(/ aim 6\.5 ±1$/);
    expect(rowOf(card!, 'caster')[2]).not.toContain('aim');
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
    const { file } = await renderReport('card', db, { out, stamp });
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
        for (const hidden of ['header h1', '.findings', 'dl', '.cautions', 'footer'])
            expect(await page.locator(hidden).first().isVisible(), hidden).toBe(false);
        expect(await page.locator('.sheet').count()).toBe(6);
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
