import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../../fixtures/physics/columns.js';
import { toCsv } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import type { AdviseRow } from '../../src/contracts/results/advise.js';
import { openDatabase } from '../../src/db/openDatabase.js';
import { cautions } from '../../src/report/cautions.js';
import { pairPage } from '../../src/serve/plainPages.js';
import { Workshop } from '../../src/serve/workshop.js';
import { launchChromium, launchLasting } from '../support/chromium.js';
import { inProcess } from '../support/inProcess.js';

const folder = mkdtempSync(join(tmpdir(), 'sheet-'));
const database = join(folder, 'a.duckdb');
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const address = pathToFileURL(join(folder, 'out', 'sheet.html')).href;
const phone = {
    viewport: { width: 390, height: 844 },
    isMobile: true,
    hasTouch: true,
    acceptDownloads: true,
};
const hostile = `</script><img src=x onerror="alert(1)"> ,'constructor"`;

const fleet = simulateFleet({ seed: 5, designs: designs.slice(0, 1), vehicles: 5, visits: 2 });
const [first, second] = fleet.cars.map(({ vehicle }) => vehicle) as [string, string];
const readings = fleet.readings.map((row) => ({
    ...row,
    vehicle: row.vehicle === second ? hostile : row.vehicle,
}));

async function strutmark(...words: string[]): Promise<string> {
    const { status, out, err } = await inProcess('--db', database, ...words);
    expect([0, 3], err).toContain(status);
    return out;
}

function file(name: string, text: string): string {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
}

let browser: Browser;
let advised: AdviseRow[];

beforeAll(async () => {
    const targets =
        'target,camber_deg,camber_tol_deg,toe_deg,toe_tol_deg\nstreet,-0.9,0.3,0.05,0.05\ntrack,-2,0.2,,\n';
    await strutmark(
        '--quiet',
        'load',
        '--later',
        file('kits.csv', toCsv(kitColumns, fleet.kits)),
        file('readings.csv', toCsv(readingColumns, readings)),
        file('targets.csv', targets),
    );
    await strutmark(
        'report',
        'sheet',
        '--out',
        join(folder, 'out'),
        '--vehicle',
        first,
        '--vehicle',
        hostile,
    );
    advised = JSON.parse(
        await strutmark('advise', '--vehicle', hostile, '--target', 'street', '--json'),
    ).rows;
    browser = await launchChromium();
});
afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true });
});

/** What the browser complained about, policy violations included. */
const complaints: string[] = [];

async function open(context: BrowserContext, at = address): Promise<Page> {
    const page = await context.newPage();
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('dialog', (dialog) => complaints.push(dialog.message()));
    await page.goto(at);
    await page.waitForSelector('body[data-ready]');
    return page;
}

async function violations(page: Page): Promise<string[]> {
    await page.evaluate(axe);
    const found = await page.evaluate(async () =>
        (
            globalThis as unknown as {
                axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
            }
        ).axe.run(),
    );
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes[0]!.html}`);
}

const press = (page: Page, group: string, value: string) => page.tap(`#${group} [data-value="${value}"]`);

/** Types into fields of a corner in a state, with the keypad. */
async function type(
    page: Page,
    phase: string,
    corner: string,
    typed: Record<string, string>,
    repeat = 1,
): Promise<void> {
    await press(page, 'phase', phase);
    await press(page, 'corner', corner);
    if (repeat > 1) await press(page, 'repeat', String(repeat));
    for (const [column, text] of Object.entries(typed)) {
        await press(page, 'fields', column);
        const [first, ...letters] = text.replace('-', '');
        // One key by a finger, the others at once: a tap waits for the next picture.
        const clicks = (keys: readonly string[], clears: boolean) =>
            page.evaluate(
                ([column, keys, clears]) => {
                    const click = (key: string) =>
                        document.querySelector<HTMLElement>(`#keypad [data-value="${key}"]`)!.click();
                    const shown = () => document.querySelector(`#fields [data-value="${column}"] b`)!;
                    while (clears && !shown().textContent!.startsWith('\u00a0')) click('back');
                    keys.forEach(click);
                },
                [column, keys, clears] as const,
            );
        await clicks([], true);
        await press(page, 'keypad', first!);
        await clicks([...letters, ...(text.startsWith('-') ? ['sign'] : [])], false);
    }
}

/** What was typed of a car: visits of the fleet begin with the chassis. */
async function readingsOf(db: string, vehicle: string) {
    const opened = await openDatabase({ file: db, mode: 'read' });
    try {
        return await opened.cells(
            `select * exclude (visit, measured_at, source_file, source_line, load_id) from readings
            where vehicle = $vehicle and not starts_with(visit, chassis || '-') order by phase, corner, repeat`,
            { vehicle },
        );
    } finally {
        opened.close();
    }
}

const typedByHand: [phase: string, corner: string, repeat: number, Record<string, string>][] = [
    ['before', 'FL', 1, { camber_deg: '-1.31', caster_deg: '6.9', toe_deg: '0.08', mark_1: '1.5' }],
    ['before', 'FL', 2, { camber_deg: '-1.35', caster_deg: '6.95' }],
    ['before', 'FR', 1, { camber_deg: '-1.2', toe_deg: '-0.02', mark_1: '-2' }],
    ['before', 'RL', 1, { camber_deg: '-1.75', toe_deg: '0.1' }],
    ['moved', 'FL', 1, { camber_deg: '-0.95', toe_deg: '0.2', mark_1: '4.5' }],
    ['after', 'FL', 1, { camber_deg: '-0.93', toe_deg: '0.05' }],
    ['after', 'FR', 1, { camber_deg: '-1.21', toe_deg: '0.05', mark_1: '-2' }],
];

const conditions = { fuel_l: '40', place: 'bay, 2', caster_sweep_deg: '20' };
const more = { offset_out_mm: '1.5', offset_aft_mm: '-2', note: 'pointer, "loose"' };

test('a whole visit without a network: the browser killed half-way, two tabs, saved, loaded twice, and equal to the same rows by hand', async () => {
    const profile = join(folder, 'profile');
    const lasting = await launchLasting(profile, phone);
    await lasting.context.setOffline(true);
    let page = await open(lasting.context);
    expect(await page.evaluate(() => document.body.dataset.ready)).toBe('database');
    await page.selectOption('#car', first);
    for (const [phase, corner, repeat, typed] of typedByHand.slice(0, 3))
        await type(page, phase, corner, typed, repeat);
    await page.tap('#open');
    await page.tap('#visit summary');
    for (const [column, value] of Object.entries(conditions))
        await page.fill(`#conditions [data-more=${column}]`, value);
    await page.tap('#open');
    await press(page, 'corner', 'FL');
    await page.tap('#more summary');
    for (const [column, value] of Object.entries(more)) await page.fill(`#more [data-more=${column}]`, value);
    await page.press('#more [data-more=note]', 'Tab');
    // Each key is on the disk before the next can follow; the last of all is given its time.
    await page.waitForTimeout(300);
    lasting.kill();

    const again = await launchLasting(profile, phone);
    await again.context.setOffline(true);
    page = await open(again.context);
    expect(await page.inputValue('#car')).toBe(first);
    expect(await page.locator('#save').textContent()).toBe('Save 3');
    await press(page, 'corner', 'FL');
    // Behind it a question mark: no car of the fleet stands there.
    expect(await page.locator('#fields [data-value=camber_deg] b').textContent()).toMatch(/^−1\.31\??$/);
    expect(await page.locator('#repeats').textContent()).toContain('camber mean −1.330 of 2');
    const other = await open(again.context);
    for (const [phase, corner, repeat, typed] of typedByHand.slice(3, 5))
        await type(other, phase, corner, typed, repeat);
    await other.waitForTimeout(300);
    // A page behind another one is drawn, and so tapped, seldom.
    await page.bringToFront();
    for (const [phase, corner, repeat, typed] of typedByHand.slice(5))
        await type(page, phase, corner, typed, repeat);
    await page.waitForFunction(() => document.getElementById('save')!.textContent === 'Save 7');
    const [download] = await Promise.all([page.waitForEvent('download'), page.tap('#save')]);
    const saved = join(folder, download.suggestedFilename());
    await download.saveAs(saved);
    await page.waitForFunction(() => document.getElementById('save')!.textContent === 'Save');
    await again.context.close();

    const counts = async () => JSON.parse(await strutmark('load', '--later', '--json', saved)).rows[0];
    expect(await counts()).toMatchObject({
        kind: 'readings',
        read_count: 7,
        loaded_count: 7,
        rejected_count: 0,
    });
    expect(await counts()).toMatchObject({ loaded_count: 0, duplicate_count: 7 });
    const stored = fleet.readings.filter(({ vehicle }) => vehicle === first);
    const plate = (corner: string) => stored.findLast((row) => row.corner === corner)!;
    const columns = [
        'vehicle',
        'chassis',
        'corner',
        'measured_at',
        'visit',
        'visit_kind',
        'phase',
        'repeat',
        'kit',
        'plate_hand',
        'plate_index',
        'mark_1',
        'camber_deg',
        'caster_deg',
        'toe_deg',
        'gauge',
        'target',
        ...Object.keys(conditions),
        ...Object.keys(more),
    ];
    const byHand = typedByHand.map(([phase, corner, repeat, typed]): Record<string, string> => {
        const isFront = corner.startsWith('F');
        const kept = new Map([
            ['before FL 2', '1.5'],
            ['after FL 1', '4.5'],
        ]).get(`${phase} ${corner} ${repeat}`);
        return {
            vehicle: first,
            chassis: String(plate('FL').chassis),
            corner,
            measured_at: '2027-01-01T10:00',
            visit: 'by hand',
            visit_kind: 'adjust',
            phase,
            repeat: String(repeat),
            ...(isFront && {
                kit: String(plate(corner).kit),
                plate_hand: corner === 'FL' ? 'left' : 'right',
                plate_index: String(plate(corner).plate_index),
            }),
            gauge: 'rack A',
            ...(phase === 'after' && { target: 'street' }),
            ...(kept !== undefined && { mark_1: kept }),
            ...typed,
            fuel_l: conditions.fuel_l,
            place: conditions.place,
            ...('caster_deg' in typed && { caster_sweep_deg: conditions.caster_sweep_deg }),
            ...(`${phase} ${corner} ${repeat}` === 'before FL 1' && more),
        };
    });
    const otherDatabase = join(folder, 'hand.duckdb');
    const csv = toCsv(columns, byHand);
    expect((await inProcess('--db', otherDatabase, 'load', '--later', file('hand.csv', csv))).status).toBe(0);
    const expected = await readingsOf(otherDatabase, first);
    expect(expected).toHaveLength(7);
    expect(await readingsOf(database, first)).toEqual(expected);
});

test('the page says what advise says to the last printed digit, and is clean', async () => {
    const rows = advised;
    for (const colorScheme of ['light', 'dark'] as const) {
        const context = await browser.newContext({ ...phone, colorScheme });
        const page = await open(context);
        await page.selectOption('#car', hostile);
        await page.selectOption('#target', 'street');
        const said = await page.evaluate(() =>
            [...document.querySelectorAll('#numbers tbody tr')].map((row) =>
                [...row.children].map((cell) => cell.textContent),
            ),
        );
        const printed = (value: number | null) => value!.toFixed(2).replace(/^-(0\.00)$/, '$1');
        const range = (row: AdviseRow, name: string) => {
            const column = (part: string) =>
                printed((row as unknown as Record<string, number>)[`${name}${part}_deg`]!);
            return `${column('')} (${column('_low')} to ${column('_high')})`;
        };
        const lines = Object.fromEntries(
            said.map(([head, ...cells]) => [head, cells.map((text) => text!.replaceAll('−', '-'))]),
        );
        expect(lines['→ camber']).toEqual(rows.map((row) => range(row, 'camber')));
        expect(lines['toe by']).toEqual(rows.map((row) => range(row, 'toe_change')));
        expect(lines['put back']).toEqual(rows.map((row) => range(row, 'toe_put_back')));
        expect(lines.set).toEqual(rows.map(({ words }) => words.slice(words.indexOf(':') + 2)));
        // All on one screen: the answer above the keypad, and no scrolling sideways.
        const box = async (id: string) => (await page.locator(`#${id}`).boundingBox())!;
        expect((await box('keypad')).y + (await box('keypad')).height).toBeLessThan(844);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
        for (const button of await page.locator('#keypad button').all())
            expect((await button.boundingBox())!.height).toBeGreaterThan(48);
        await page.tap('#open');
        expect(await violations(page)).toEqual([]);
        for (const text of Object.values(cautions))
            expect(await page.locator('.cautions').textContent()).toContain(text);
        await context.close();
    }
});

test('a name that is markup stays a name, from the choice of cars into the file', async () => {
    const context = await browser.newContext(phone);
    const page = await open(context);
    await page.selectOption('#car', hostile);
    await type(page, 'before', 'RL', { camber_deg: '-1.5' });
    const [download] = await Promise.all([page.waitForEvent('download'), page.tap('#save')]);
    await download.saveAs(join(folder, 'hostile.csv'));
    await strutmark('load', '--later', join(folder, 'hostile.csv'));
    expect(await readingsOf(database, hostile)).toMatchObject([
        { vehicle: hostile, corner: 'RL', camber_deg: -1.5 },
    ]);
    await page.selectOption('#car', '');
    await page.fill('#new-name', 'a car nobody knew');
    await page.tap('#use');
    expect(await page.inputValue('#car')).toBe('a car nobody knew');
    await context.close();
});

test('a device that keeps nothing is told of above the keypad; one with localStorage only keeps', async () => {
    const without = (names: string[]) =>
        `for (const name of ${JSON.stringify(names)}) Object.defineProperty(window, name, { get() { throw new Error('not here'); } });`;
    const context = await browser.newContext(phone);
    await context.addInitScript(without(['indexedDB', 'localStorage']));
    expect(await (await open(context)).locator('#kept').textContent()).toContain('keeps nothing');
    await context.close();
    const storing = await browser.newContext(phone);
    await storing.addInitScript(without(['indexedDB']));
    const page = await open(storing);
    await type(page, 'before', 'RL', { camber_deg: '-1.5' });
    await page.close();
    expect(await (await open(storing)).locator('#save').textContent()).toBe('Save 1');
    await storing.close();
});

test('the page that pairs a phone fits it, a glove too, and is clean', async () => {
    const context = await browser.newContext(phone);
    const page = await context.newPage();
    await page.setContent(pairPage());
    expect(await violations(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    for (const part of await page.locator('input, button').all())
        expect((await part.boundingBox())!.height).toBeGreaterThanOrEqual(44);
    await context.close();
});

test('on paper: one A5 with the columns in the order of the file', async () => {
    const context = await browser.newContext();
    const page = await open(context);
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
    const [, width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!.map(Number) as [
        number,
        number,
        number,
    ];
    // 210 by 148 mm, 72 points an inch.
    expect([Math.round(width), Math.round(height)]).toEqual([595, 420]);
    expect(await page.locator('#paper thead').textContent()).toBe(
        'cornertimestaterepeatkithandindexmark2ndcambercastertoeSAItoe set',
    );
    await context.close();
});

describe('served', () => {
    const stop = new AbortController();
    let workshop: Workshop;
    let origin: string;

    beforeAll(async () => {
        const quiet = () => undefined;
        const options = {
            db: database,
            folder: null,
            port: 0,
            lan: false,
            settleSeconds: 1,
            waitSeconds: 60,
            signal: stop.signal,
        };
        workshop = new Workshop({ ...options, onCode: quiet, onWatched: quiet, warn: quiet });
        origin = `http://127.0.0.1:${await workshop.listen()}`;
    });
    afterAll(async () => {
        stop.abort();
        await workshop.close();
    });

    test('the sheet is of the newest state, asks only this server, and is not kept by anyone', async () => {
        const answer = await fetch(`${origin}/sheet.html`);
        expect(answer.headers.get('cache-control')).toBe('no-store');
        expect(await answer.text()).toContain('connect-src &#39;self&#39;');
        const cells = {
            ...{
                vehicle: 'a new car',
                chassis: designs[0]!.chassis,
                corner: 'FL',
                measured_at: '2026-11-27',
                visit: 'new',
            },
            ...{ visit_kind: 'check', phase: 'before', camber_deg: '-1' },
        };
        const sent = await fetch(`${origin}/rows`, {
            method: 'POST',
            headers: { Origin: origin, 'Content-Type': 'application/json' },
            body: JSON.stringify({ rows: [{ cells, mends: false }] }),
        });
        expect(await sent.json()).toEqual({ taken: [0], refused: [] });
        expect(await (await fetch(`${origin}/sheet.html`)).text()).toContain('"vehicle":"a new car"');
        expect(await (await fetch(`${origin}/`)).text()).toContain('href="/slopes.html"');
    });

    test('rows wait on the device while the network is away, also of a page that was closed, and count once', async () => {
        const context = await browser.newContext(phone);
        const page = await open(context, `${origin}/sheet.html`);
        await page.selectOption('#car', first);
        await context.setOffline(true);
        await type(page, 'before', 'RR', { camber_deg: '-1.66' });
        await type(page, 'before', 'RL', { camber_deg: '-1.55' });
        await page.tap('#save');
        await page.waitForFunction(() =>
            document.getElementById('sent')!.textContent!.includes('wait on this device'),
        );
        await page.close();
        await context.setOffline(false);
        complaints.length = 0;
        const back = await open(context, `${origin}/sheet.html`);
        await back.tap('#save').catch(() => undefined);
        await back.waitForFunction(() => document.getElementById('save')!.textContent === 'Send');
        await type(back, 'before', 'RL', { camber_deg: '-1.56' });
        await back.tap('#save');
        await back.waitForFunction(() => document.getElementById('save')!.textContent === 'Send');
        const rows = (await readingsOf(database, first)).filter(
            ({ corner }) => corner === 'RR' || corner === 'RL',
        );
        expect(rows.map(({ corner, camber_deg }) => `${corner} ${camber_deg}`).sort()).toEqual([
            'RL -1.56',
            'RL -1.75',
            'RR -1.66',
        ]);
        expect(readdirSync(`${database}.sheets`).length).toBeGreaterThan(1);
        await context.close();
    });
});

test('no browser complained', () => expect(complaints).toEqual([]));
