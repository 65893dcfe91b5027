import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeSeason } from '../../fixtures/season/make.js';
import { listReports, reportQueries } from '../../src/report/registry.js';
import { writeReports } from '../../src/report/writeReports.js';
import { launchChromium } from '../support/chromium.js';
import { modelOf, type Rows } from '../support/memory.js';
import { cutLabels, overflow, pictureEdges } from '../support/pageLook.js';

const out = mkdtempSync(join(tmpdir(), 'strutmark-long-'));
let browser: Browser;

/** Forty characters that begin and end as `name` does. */
function long(name: string): string {
    const filler = ' of a name that takes forty characters in all ';
    return `${name.slice(0, 7)}${filler}${filler}`.slice(0, 40 - 4) + name.slice(-4).padStart(4);
}

const named = ['vehicle', 'chassis', 'kit', 'target', 'technician', 'gauge', 'shaft', 'part', 'session'];

function renamed(rows: Rows): Rows {
    return rows.map((row) => {
        const longer = named.flatMap((column) => (row[column] ? [[column, long(String(row[column]))]] : []));
        return { ...row, ...Object.fromEntries(longer) };
    });
}

/** Rows of a file of the season but the few that quote a cell. */
function rowsOf(text: string): Rows {
    const [head, ...lines] = text.trim().split('\n');
    const columns = head!.split(',');
    return lines
        .filter((line) => !line.includes('"'))
        .map((line) => {
            const cells = line.split(',');
            return Object.fromEntries(columns.map((column, place) => [column, cells[place] || null]));
        });
}

/** Whether a row stays: every car of the team, a third of the others; of the car that was read last only one front was ever read. */
function stays({ vehicle, corner }: Rows[number]): boolean {
    if (vehicle === 'car 3') return corner !== 'FR';
    return Number(/^[^c].* (\d+)$/.exec(String(vehicle))?.[1] ?? 0) % 3 === 0;
}

/** The season with names of forty characters. */
beforeAll(async () => {
    const { files } = makeSeason();
    const kinds = ['readings', 'kits', 'targets', 'sessions', 'shafts', 'hardware'];
    const input = Object.fromEntries(
        kinds.map((kind) => [kind, renamed(rowsOf(files[`${kind}.csv`]!).filter(stays))]),
    );
    const db = await modelOf(input, 2, reportQueries([]));
    await writeReports(db, [], out);
    db.close();
    browser = await launchChromium();
});
afterAll(async () => {
    await browser?.close();
    rmSync(out, { recursive: true });
});

const looks: Record<string, BrowserContextOptions & { print?: true; most: number; least: number }> = {
    'a desk': { viewport: { width: 1280, height: 800 }, most: 400, least: 700 },
    'a phone': {
        viewport: { width: 390, height: 844 },
        isMobile: true,
        hasTouch: true,
        most: 600,
        least: 358,
    },
    // The width between the margins of A4: 180 mm at 96 px per inch.
    paper: { viewport: { width: 680, height: 960 }, print: true, most: 400, least: 680 },
};

describe.each(Object.entries(looks))('on %s', (_, { print, most, least, ...options }) => {
    let page: Page;
    beforeAll(async () => {
        page = await browser.newPage(options);
        if (print) await page.emulateMedia({ media: 'print' });
    });
    afterAll(() => page.close());

    test.each([...listReports(), 'index'])(
        '%s: picture high and wide, no label cut, nothing beside the page',
        async (name) => {
            page.removeAllListeners();
            const complaints: string[] = [];
            page.on('console', (message) => complaints.push(message.text()));
            page.on('pageerror', (error) => complaints.push(error.message));
            await page.goto(pathToFileURL(join(out, `${name}.html`)).href);
            const sheets = await page.locator('.sheet').count();
            expect(await overflow(page)).toBeLessThanOrEqual(0);
            // Sheets are printed alone, on paper of their own.
            if (!(print && sheets > 0)) {
                expect(await cutLabels(page)).toEqual([]);
                const edges = await pictureEdges(page);
                if (name !== 'index') {
                    expect(edges!.top).toBeLessThanOrEqual(most);
                    expect(edges!.width).toBeGreaterThanOrEqual(least);
                }
            }
            expect(complaints).toEqual([]);
        },
    );
});
