import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launchChromium } from './chromium.js';
import { cutLabels, pictureEdges } from './pageLook.js';
import { markup } from './pages/slopes.js';

const out = mkdtempSync(join(tmpdir(), 'strutmark-browser-'));
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const address = (name: string) => pathToFileURL(join(out, `${name}.html`)).href;
let browser: Browser;

interface Opened {
    page: Page;
    /** What the browser complained about, policy violations included, and every address it asked for. */
    complaints: string[];
    requests: string[];
}

/** The text of a page, which is written when it is opened first. */
let textOf: (name: string) => Promise<string>;

/** Tabs by their options, each for one visit after the other: to open one takes as long as to read a page; one that is there already stays. */
const tabs = new Map<BrowserContextOptions, Opened & { name: string }>();

async function open(name: string, options: BrowserContextOptions): Promise<Opened> {
    const tab = tabs.get(options);
    if (tab?.name === name) return tab;
    const page = tab?.page ?? (await (await browser.newContext(options)).newPage());
    page.setDefaultTimeout(60_000);
    page.removeAllListeners();
    await page.goto('about:blank');
    // What is behind another window may not be painted, and what is not painted does not come alive.
    await page.bringToFront();
    await page.emulateMedia({ media: null });
    await page.setViewportSize(options.viewport!);
    const complaints: string[] = [];
    const requests: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('dialog', (dialog) => complaints.push(`dialog: ${dialog.message()}`));
    page.on('request', (request) => requests.push(request.url()));
    const file = join(out, `${name}.html`);
    if (!existsSync(file)) writeFileSync(file, await textOf(name));
    await page.goto(address(name));
    const opened = { name, page, complaints, requests };
    tabs.set(options, opened);
    return opened;
}

/** Scrolls through the page until every plot is alive. */
async function wakeAll(page: Page): Promise<void> {
    await page.evaluate(async () => {
        for (const plot of document.querySelectorAll<HTMLElement>('.plot[id]')) {
            for (let tries = 0; plot.dataset.live !== ''; tries++) {
                if (tries % 200 === 199) scrollTo(0, 0);
                else if (tries % 200 === 0) plot.scrollIntoView({ block: 'center' });
                await new Promise((resolve) => setTimeout(resolve, 5));
            }
        }
    });
}

const settings: Record<string, BrowserContextOptions> = {
    light: { viewport: { width: 1280, height: 800 }, colorScheme: 'light' },
    dark: { viewport: { width: 1280, height: 800 }, colorScheme: 'dark' },
    phone: { viewport: { width: 390, height: 844 }, colorScheme: 'light', isMobile: true, hasTouch: true },
    'dark phone': {
        viewport: { width: 390, height: 844 },
        colorScheme: 'dark',
        isMobile: true,
        hasTouch: true,
    },
    scriptless: { javaScriptEnabled: false, viewport: { width: 390, height: 844 } },
};

/** Each page in both widths and both schemes, the pairs by turns. */
const pairs = [
    ['light', 'dark phone'],
    ['phone', 'dark'],
] as const;

/**
 * Tests of the pages `reports`, slopes among them, as `text` gives them: each in its pair of settings, read without scripts and printed
 * where it `isWhole`, else in the first of the pair.
 */
export function testInChromium(
    reports: readonly string[],
    text: (name: string) => Promise<string>,
    isWhole: (name: string) => boolean,
): void {
    describe('in Chromium', () => {
        beforeAll(async () => {
            textOf = text;
            browser = await launchChromium();
        });
        afterAll(async () => {
            await browser?.close();
            rmSync(out, { recursive: true });
        });
        describe.each([...reports.entries()])('page %i, %s', (at, name) => testPage(at, name, isWhole(name)));
        describe('slopes', testSlopes);
    });
}

function testPage(at: number, name: string, isWhole: boolean): void {
    describe.each(pairs[at % 2]!.slice(0, isWhole ? 2 : 1))('%s', (setting) => {
        const options = settings[setting]!;
        let opened: Opened;
        beforeAll(async () => {
            opened = await open(name, options);
            await wakeAll(opened.page);
        });

        test('comes alive without errors, policy violations or requests', () => {
            expect(opened.complaints).toEqual([]);
            expect(opened.requests).toEqual([address(name)]);
        });

        test('every plot is drawn inside its column and nothing scrolls sideways', async () => {
            const { page } = opened;
            const width = options.viewport!.width;
            const boxes = await page.locator('.plot').evaluateAll((plots) =>
                plots.map((plot) => {
                    const svg = [...plot.querySelectorAll('svg')].find((one) => one.checkVisibility())!;
                    const { left, right, height } = svg.getBoundingClientRect();
                    return {
                        left,
                        right,
                        height,
                        marks: svg.querySelectorAll('path, rect, circle, line').length,
                    };
                }),
            );
            expect(boxes.length).toBeGreaterThan(0);
            for (const box of boxes) {
                expect(box.marks).toBeGreaterThan(0);
                expect(box.height).toBeGreaterThan(80);
                expect(box.left).toBeGreaterThanOrEqual(0);
                expect(box.right).toBeLessThanOrEqual(width);
            }
            expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
        });

        test('opens with its picture, large and high on the page', async () => {
            const isPhone = options.isMobile === true;
            const edges = (await pictureEdges(opened.page))!;
            expect(edges.top).toBeLessThanOrEqual(isPhone ? 600 : 400);
            expect(edges.width).toBeGreaterThanOrEqual(isPhone ? 358 : 700);
        });

        test('no label of a plot is cut', async () => {
            expect(await cutLabels(opened.page)).toEqual([]);
        });

        test('text in plots is at least 10 CSS pixels high', async () => {
            const sizes = await opened.page.locator('.plot svg:visible text').evaluateAll((texts) =>
                texts.map((text) => {
                    const matrix = (text as SVGGraphicsElement).getScreenCTM()!;
                    return (
                        Number.parseFloat(getComputedStyle(text).fontSize) * Math.hypot(matrix.a, matrix.b)
                    );
                }),
            );
            expect(Math.min(...sizes)).toBeGreaterThanOrEqual(10);
        });

        // Web Content Accessibility Guidelines 2.1, levels A and AA, as the axe-core rules test them: each page once, each setting on several
        // pages. That the colours stand out in both schemes is the next test.
        if (!isWhole || setting === pairs[at % 2]![Math.floor(at / 2) % 2])
            test('has no accessibility violation that axe-core finds', async () => {
                await opened.page.evaluate(axe);
                const violations = await opened.page.evaluate(async () => {
                    const { violations } = await (
                        globalThis as unknown as {
                            axe: {
                                run(
                                    context: object,
                                    options: object,
                                ): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
                            };
                        }
                    ).axe.run(
                        // Of a plot its role and name: no rule asks about thousands of marks.
                        { exclude: ['.plot svg g'] },
                        {
                            runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'],
                            // Only what is told here: selectors of all that passed take most of the time.
                            resultTypes: ['violations'],
                            selectors: false,
                        },
                    );
                    return violations.map(({ id, nodes }) => `${id}: ${nodes[0]!.html.slice(0, 120)}`);
                });
                expect(violations).toEqual([]);
            });

        // WCAG 2.1, 1.4.3 (text, 4.5) and 1.4.11 (graphics, 3); luminance as defined there.
        test('text and marks stand out from the paper', async () => {
            const colours = await opened.page.evaluate(() => {
                const probe = document.body.appendChild(document.createElement('i'));
                const found = ['paper', 'ink', 'muted', 'first', 'second', 'third'].map((name) => {
                    probe.style.color = `var(--${name})`;
                    return getComputedStyle(probe).color.match(/\d+/g)!.map(Number);
                });
                probe.remove();
                return found;
            });
            const luminance = (rgb: number[]) => {
                const [r, g, b] = rgb.map((value) =>
                    value / 255 <= 0.04045 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4,
                );
                return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
            };
            const [paper, ...others] = colours.map(luminance) as [number, ...number[]];
            const contrasts = others.map(
                (other) => (Math.max(paper, other) + 0.05) / (Math.min(paper, other) + 0.05),
            );
            expect(Math.min(...contrasts.slice(0, 2))).toBeGreaterThanOrEqual(4.5);
            expect(Math.min(...contrasts.slice(2))).toBeGreaterThanOrEqual(3);
            expect(paper > 0.5).toBe(options.colorScheme === 'light');
        });

        if (options.isMobile)
            test('on a phone a row of a table is a card, all of it on the screen', async () => {
                const { page } = opened;
                const cells = await page.locator('.scroll table:visible td').evaluateAll((found) =>
                    found.map((cell) => ({
                        right: cell.getBoundingClientRect().right,
                        title: getComputedStyle(cell, '::before').content,
                    })),
                );
                for (const { right, title } of cells) {
                    expect(right).toBeLessThanOrEqual(390);
                    expect(title).toMatch(/^".+"$/);
                }
                if (['audit', 'drift', 'stack'].includes(name)) expect(cells.length).toBeGreaterThan(20);
            });

        if (options.isMobile && name === 'slopes')
            test('a tap on or near a point tells its values, a tap beside the plots takes them away', async () => {
                const { page, complaints } = opened;
                const point = page
                    .locator('section.group')
                    .first()
                    .locator('.mark-symbol.role-mark path')
                    .first();
                await point.scrollIntoViewIfNeeded();
                const tooltip = page.locator('#tooltip');
                for (const beside of [0, 7]) {
                    const box = (await point.boundingBox())!;
                    await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2 - beside);
                    await tooltip.waitFor({ state: 'visible' });
                    expect(await tooltip.locator('span').first().textContent()).toBe('car');
                    const heading = (await page.locator('section.group h3').first().boundingBox())!;
                    await page.touchscreen.tap(heading.x + 5, heading.y + 5);
                    await tooltip.waitFor({ state: 'hidden' });
                }
                expect(complaints).toEqual([]);
            });

        if (isWhole && !options.isMobile)
            test('the keyboard reaches the skip link first, then the contents, tables and folds', async () => {
                const { page } = opened;
                await page.evaluate(() => {
                    const reached: string[] = [];
                    Object.assign(globalThis, { reached });
                    document.addEventListener('focusin', ({ target }) =>
                        reached.push((target as Element).className || (target as Element).tagName),
                    );
                });
                let reached: string[] = [];
                for (
                    let presses = 0;
                    presses < 40 && !['A', 'SUMMARY'].every((name) => reached.includes(name));
                    presses += 4
                ) {
                    for (let press = 0; press < 4; press++) await page.keyboard.press('Tab');
                    reached = await page.evaluate(
                        () => (globalThis as unknown as { reached: string[] }).reached,
                    );
                }
                expect(reached[0]).toBe('skip');
                expect(reached).toEqual(expect.arrayContaining(['A', 'SUMMARY']));
            });

        // Last: the page stays as it is printed.
        if (options.colorScheme === 'dark')
            test('prints on white without contents list, controls or folded tables', async () => {
                const { page } = opened;
                await page.emulateMedia({ media: 'print' });
                expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
                    'rgb(255, 255, 255)',
                );
                for (const hidden of ['nav', 'details:not(.fold)', '#filters'])
                    expect(await page.locator(`${hidden}:visible`).count()).toBe(0);
                expect(await page.locator('.fold dl').isVisible()).toBe(
                    !(await page.locator('.sheet').count()),
                );
                if (at < 2)
                    expect((await page.pdf({ preferCSSPageSize: true })).subarray(0, 5).toString()).toBe(
                        '%PDF-',
                    );
            });
    });

    if (!isWhole) return;

    test('reads without scripts: pictures, tables and no dead controls', async () => {
        const { page } = await open(name, settings.scriptless!);
        expect(await page.locator('.plot', { has: page.locator('svg:visible') }).count()).toBe(
            await page.locator('.plot').count(),
        );
        expect(await page.locator('select:visible').count()).toBe(0);
        await page.locator('details:not(.fold) summary').first().click();
        expect(await page.locator('details table').first().isVisible()).toBe(true);
    });

    test('printed, tables and labels keep to the page, and no name or date is broken', async () => {
        const { page } = await open(name, settings.scriptless!);
        // The width between the margins of A4: 180 mm at 96 px per inch.
        await page.setViewportSize({ width: 680, height: 960 });
        await page.emulateMedia({ media: 'print' });
        const found = await page.locator('.scroll table:visible').evaluateAll((tables) =>
            tables.map((table) => {
                const broken = [...table.querySelectorAll('td')].filter((cell) => {
                    const range = document.createRange();
                    range.selectNodeContents(cell);
                    const lines = new Set([...range.getClientRects()].map(({ top }) => top));
                    return lines.size > 1 && cell.textContent!.length <= 28 && !table.matches('.broken');
                });
                const long = (cell: Element) => getComputedStyle(cell).whiteSpace === 'normal';
                return {
                    right: table.getBoundingClientRect().right,
                    broken: broken.filter((cell) => !long(cell)).map((cell) => cell.textContent),
                };
            }),
        );
        for (const { right, broken } of found) {
            expect(right).toBeLessThanOrEqual(681);
            expect(broken).toEqual([]);
        }
        if ((await page.locator('.sheet').count()) === 0) expect(await cutLabels(page)).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(681);
    });
}

function testSlopes(): void {
    let opened: Opened;
    const moves = () => opened.page.locator('.plot[data-live] .role-mark.mark-symbol path');
    beforeAll(async () => {
        opened = await open('slopes', settings.light!);
        await wakeAll(opened.page);
    });

    async function hover(column: string): Promise<string[]> {
        const point = opened.page
            .locator('section.group')
            .first()
            .locator('.mark-symbol.role-mark path')
            .first();
        await point.scrollIntoViewIfNeeded();
        await opened.page.mouse.move(0, 0);
        await point.hover({ force: true });
        await opened.page.locator('#tooltip').waitFor({ state: 'visible' });
        return opened.page.locator(`#tooltip ${column}`).allTextContents();
    }

    test('the tooltip names the values of the point, markup as text', async () => {
        expect(await hover('span')).toEqual([
            'car',
            'corner',
            'visit',
            'move, mm',
            'change, °',
            'weight',
            'drawn as',
        ]);
        expect((await hover('b'))[0]).toBe(markup);
        expect(await opened.page.locator('#tooltip img').count()).toBe(0);
        await opened.page.mouse.move(0, 0);
        await opened.page.locator('#tooltip').waitFor({ state: 'hidden' });
    });

    test('choosing a car dims the others in all plots; Escape and a second click show all again', async () => {
        const { page } = opened;
        const dimmed = () =>
            moves().evaluateAll(
                (paths) => paths.filter((path) => getComputedStyle(path).opacity === '0.15').length,
            );
        expect(await dimmed()).toBe(0);
        await page.locator('#filters select').selectOption('KB2-03');
        await expect.poll(dimmed).toBeGreaterThan(100);
        await page.keyboard.press('Escape');
        await expect.poll(dimmed).toBe(0);
        const point = page.locator('section.group').first().locator('.mark-symbol.role-mark path').first();
        await point.click({ force: true });
        await expect.poll(dimmed).toBeGreaterThan(100);
        expect(await page.locator('#filters select').inputValue()).toBe(markup);
        await point.click({ force: true });
        await expect.poll(dimmed).toBe(0);
        expect(opened.complaints).toEqual([]);
    });

    test('a picture is saved as SVG and PNG, a table as CSV, without a request', async () => {
        const { page } = opened;
        const saved = async (what: string) => {
            const waiting = page.waitForEvent('download');
            await page.locator('button.save', { hasText: what }).first().dispatchEvent('click');
            const download = await waiting;
            return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
        };
        const [svg, png, csv] = [await saved('SVG'), await saved('PNG'), await saved('CSV')];
        expect([svg, png, csv].map(({ name }) => name.split('.').at(-1))).toEqual(['svg', 'png', 'csv']);
        expect(svg.bytes.toString()).toMatch(/^<svg xmlns=/);
        expect(svg.bytes.toString()).not.toContain('var(');
        // Width in the header of a PNG (ISO/IEC 15948, 11.2.2).
        const width = Number(/ width="([\d.]+)"/.exec(svg.bytes.toString())![1]);
        expect(Math.abs(png.bytes.readUInt32BE(16) - 2 * width)).toBeLessThanOrEqual(2);
        const lines = csv.bytes.toString().trimEnd().split('\r\n');
        expect(lines.length).toBeGreaterThan(1);
        expect(csv.bytes.toString()).not.toContain('−');
        expect(opened.complaints).toEqual([]);
        expect(opened.requests.filter((one) => !one.startsWith('blob:'))).toEqual([address('slopes')]);
    });

    test('a plot follows the width of its column', async () => {
        const { page } = opened;
        const plot = page.locator('section.group .plot[data-live]').first();
        await page.setViewportSize({ width: 390, height: 844 });
        await expect.poll(async () => Number(await plot.locator('svg').getAttribute('width'))).toBe(358);
        await page.setViewportSize({ width: 1280, height: 900 });
        await expect
            .poll(async () => Number(await plot.locator('svg').getAttribute('width')))
            .toBeLessThan(358);
    });
}
