import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { schemas } from '../../reports/drift/rows.js';
import type { Database } from '../../src/db/database.js';
import { choiceParameters, type ReportChoice } from '../../src/report/choice.js';
import type { Content } from '../../src/report/defineReport.js';
import { loadReport, reportQueries } from '../../src/report/registry.js';
import { launchChromium } from '../support/chromium.js';
import { modelOf } from '../support/memory.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { renderReport } from '../support/reportPage.js';

let db: Database;
beforeAll(async () => {
    db = await reportDatabase('drift');
}, 60_000);

async function contentOf(
    database: Database,
    choice: ReportChoice = {},
    more: Record<string, object[]> = {},
): Promise<Content> {
    const { report, queries } = await loadReport('drift');
    const cells: Record<string, object[]> = {};
    for (const [query, file] of queries) {
        const sql = readFileSync(file, 'utf8');
        cells[query] = await database.cells(sql, choiceParameters(sql, choice));
    }
    return report.content({ ...cells, ...more });
}

describe('one thing is told once, and in one word', () => {
    test('levels of several factors that are the same corner sessions are one rate and one comparison', async () => {
        const { queries } = await loadReport('drift');
        const query = (name: string) => readFileSync(queries.get(name)!, 'utf8');
        const rates = await db.rows(schemas.rates, query('rates'));
        const contrasts = await db.rows(schemas.contrasts, query('contrasts'));
        const [all] = await db.cells(
            `select count(*) as levels, count(distinct (corner_session_count, slip_count, unclear_count, expected_slip_count)) as groups
            from slip_rates`,
        );
        expect(all!.groups as number).toBeLessThan(all!.levels as number);
        expect(rates).toHaveLength(all!.groups as number);
        const names = await db.cells(
            "select distinct replace(level, '_', ' ') as level from slip_rates where factor in ('kit', 'bearing')",
        );
        for (const { level } of names)
            expect(rates.filter(({ name }) => name.includes(level as string))).toHaveLength(1);
        const pairs = contrasts.map(({ name, other_name }) => [name, other_name].sort().join(' / '));
        expect(new Set(pairs).size).toBe(pairs.length);
        const named = rates.map(({ name }) => name);
        for (const { name, other_name } of contrasts)
            expect(named).toEqual(expect.arrayContaining([name, other_name]));
    });

    test('no legend gives two meanings one symbol, and no two tables mean two things by one head', async () => {
        const { sections } = await contentOf(db);
        const blocks = sections.flatMap((section) => section.blocks);
        for (const block of blocks) {
            if (block.kind !== 'legend') continue;
            const symbols = block.entries
                .map(({ mark }) => mark)
                .filter((mark) => !['line', 'dashed', 'band'].includes(mark));
            expect(new Set(symbols).size).toBe(symbols.length);
        }
        const heads = blocks.flatMap((block) =>
            block.kind === 'table' ? block.head.map(({ title }) => title) : [],
        );
        expect(heads.filter((title) => title === 'p')).toEqual([]);
    });
});

test('what moved without a run and is open counts as open, and is told where nothing else is', async () => {
    const open = [
        {
            ...Object.fromEntries(Object.keys(schemas.unrecorded.shape).map((name) => [name, null])),
            vehicle: 'STOAT-s2',
            chassis: 'STOAT',
            corner: 'FL',
            disturbance: 'transport',
            before_visit: 'a',
            visit: 'b',
            phase: 'before',
            slip_out_mm: 3,
            slip_aft_mm: 0,
            verdict: 'plate_moved',
            cause: 'plate_slipped',
            next_cause: 'held',
        },
    ];
    const headlineWith = async (unrecorded: object[]) => (await contentOf(db, {}, { unrecorded })).headline;
    const count = (text: string) => Number(/^(\d+) findings are open, first /.exec(text)![1]);
    expect(count(await headlineWith(open))).toBe(count(await headlineWith([])) + 1);
    const { headline, answer } = await contentOf(db, {}, { unrecorded: open, events: [] });
    expect(headline).toMatch(/^\S+, (left|right) is open; /);
    expect(answer[0]).toMatch(/^\S+, (left|right): /);
});

describe('findings', () => {
    test('count what the table drift holds and name every car that moved', async () => {
        const { findings } = await contentOf(db);
        const [counts] = await db.cells(
            `select count(*) as all_corners, count(*) filter (where verdict = 'held') as held,
                count(*) filter (where verdict = 'plate_moved') as moved from drift`,
        );
        const [overall] = findings;
        expect(overall!.text).toContain(`${counts!.all_corners} front corners: ${counts!.held} held`);
        expect(overall!.text).toContain(`${counts!.moved} plates moved`);
        const moved = await db.cells("select distinct vehicle from drift where verdict <> 'held'");
        for (const { vehicle } of moved) expect(findings.map(({ about }) => about)).toContain(vehicle);
        expect(findings.map(({ about }) => about)).toContain('How often');
    });

    test('a bend comes before the slips of its car and says not to run it', async () => {
        const { findings } = await contentOf(db);
        const bent = await db.cells("select distinct vehicle from drift where verdict = 'bent'");
        expect(bent.length).toBeGreaterThan(0);
        for (const { vehicle } of bent) {
            const { text } = findings.find(({ about }) => about === vehicle)!;
            expect(text.search(/not run it until it has been inspected/)).toBeGreaterThan(-1);
            const slip = text.indexOf('the bearing slipped');
            if (slip > -1) expect(text.indexOf('inspected')).toBeLessThan(slip);
        }
    });

    test('a car chosen is the only one told of and drawn', async () => {
        const { findings, sections, highlight } = await contentOf(db, { vehicle: 'STOAT-s2' });
        expect(findings[0]!.text).toContain('7 sessions of 1 car, 14 front corners');
        expect(highlight!.values).toEqual(['STOAT-s2']);
        const groups = sections.flatMap(({ blocks }) => blocks).filter(({ kind }) => kind === 'group');
        expect(groups.map((group) => (group as { title: string }).title)).toEqual(['STOAT-s2']);
    });

    test('no session is said, and nothing is drawn', async () => {
        const empty = await modelOf(
            {
                readings: [
                    {
                        vehicle: 'A',
                        chassis: 'OTTER',
                        corner: 'FL',
                        measured_at: '2025-01-01',
                        visit: 'v',
                        visit_kind: 'check',
                        phase: 'before',
                        camber_deg: -1,
                    },
                ],
            },
            1,
            reportQueries(['drift']),
        );
        const { findings, sections } = await contentOf(empty);
        expect(findings[0]!.text).toMatch(/^There is no session yet/);
        expect(sections).toEqual([]);
        empty.close();
    });
});

describe('filters of the page', () => {
    const out = mkdtempSync(join(tmpdir(), 'strutmark-drift-page-'));
    let browser: Browser;
    beforeAll(async () => {
        await renderReport('drift', db, {
            out,
            stamp: { version: '1.2.3', reading_count: 1, load_count: 1 },
        });
        browser = await launchChromium();
    });
    afterAll(async () => {
        await browser?.close();
        rmSync(out, { recursive: true });
    });

    test('car and event leave only what belongs to both, Escape shows all cars again', async () => {
        const page = await browser.newPage();
        await page.goto(pathToFileURL(join(out, 'drift.html')).href);
        const groups = page.locator('section.group');
        const rowsOf = (table: string) =>
            page.locator(`.scroll[aria-label^="${table}"] tr[data-keys]:not([hidden])`);
        const rowsShown = rowsOf('Corners that did not hold');
        const [all, cars] = [await rowsShown.count(), await groups.count()];
        const [car, event] = [
            page.locator('select[data-field=vehicle]'),
            page.locator('select[data-field=event]'),
        ];
        const wanted = await db.cells(
            "select vehicle, count(*) as n from drift where verdict = 'plate_moved' group by vehicle order by n desc, vehicle limit 1",
        );
        await car.selectOption(wanted[0]!.vehicle as string);
        await event.selectOption('plate moved');
        await expect.poll(() => rowsShown.count()).toBe(wanted[0]!.n);
        expect(await rowsOf('Corner sessions of each car').count()).toBe(1);
        expect(
            await groups.evaluateAll((list) => list.filter((one) => !(one as HTMLElement).hidden).length),
        ).toBe(1);
        await event.selectOption('');
        await page.keyboard.press('Escape');
        await expect.poll(() => rowsShown.count()).toBe(all);
        expect(
            await groups.evaluateAll((list) => list.filter((one) => !(one as HTMLElement).hidden).length),
        ).toBe(cars);
        await page.close();
    });
});
