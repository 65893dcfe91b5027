import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { schemas } from '../../reports/range/rows.js';
import { whatIfData } from '../../reports/range/whatIf.js';
import type { Database } from '../../src/db/database.js';
import { escapeText } from '../../src/report/html.js';
import { loadReport, reportQueries } from '../../src/report/registry.js';
import { clipped } from '../../src/report/whatIf/clipped.js';
import type { Judged } from '../../src/report/whatIf/model.js';
import { reachOf } from '../../src/report/whatIf/reachOf.js';
import { requiredHalfLength } from '../../src/report/whatIf/requiredHalfLength.js';
import { slotsOf } from '../../src/report/whatIf/slots.js';
import { kitFor } from '../../src/report/whatIf/words.js';
import { zonotope } from '../../src/report/whatIf/zonotope.js';
import { launchChromium } from '../support/chromium.js';
import { modelOf } from '../support/memory.js';
import { odd } from '../support/pages/range.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { renderReport, reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
let db: Database;
beforeAll(async () => {
    db = await reportDatabase('range');
});

async function rows() {
    const { queries } = await loadReport('range');
    const { readFileSync } = await import('node:fs');
    const entries = await Promise.all(
        [...queries].map(async ([name, file]) => {
            const sql = readFileSync(file, 'utf8');
            const names = ['chassis', 'kit', 'target'].filter((one) => sql.includes(`$${one}`));
            const parameters = Object.fromEntries(names.map((one) => [one, null]));
            return [name, await db.rows(schemas[name as keyof typeof schemas], sql, parameters)] as const;
        }),
    );
    return Object.fromEntries(entries) as never as Parameters<typeof whatIfData>[0];
}

/** Share reached in the best index by SQL, with a changed plate of AMBER-3. */
async function shareBySql(
    change: { out?: number; aft?: number; turn?: number; half?: number } = {},
): Promise<number> {
    const { out = 0, aft = 0, turn = 0, half = 10 } = change;
    const [row] = await db.cells(
        `select count(*) filter (where required_mm <= ${half} + 1e-9) / count(*) as share
        from best_reaches('OTTER', 'AMBER-3', 'street', [{
            'name': 'changed', 'value': 0.0::double, 'need_out': 0.0::double, 'need_aft': 0.0::double,
            'centre_out_mm': ${out}::double, 'centre_aft_mm': ${aft}::double, 'turn_deg': ${turn}::double
        }])`,
    );
    return row!.share as number;
}

describe('the page counts as the database does', () => {
    test('pointers at the ends of a scale, as the command range tells them', async () => {
        const { ends, ranges } = await rows();
        const [first] = ranges;
        const told = ranges.filter(
            (row) => row.target === first!.target && row.kit === 'AMBER-3' && row.plate_index === 1,
        );
        const own = ends.filter((row) => row.kit === 'AMBER-3' && row.plate_index === 1);
        for (const name of ['low_end_count', 'high_end_count'] as const) {
            const count = told.reduce((sum, row) => sum + row[name]!, 0);
            expect([...new Set(own.map((row) => row[name]))]).toEqual([count]);
        }
        // A mark at a tenth of the scale exactly stands in the second column of the picture, and counts for the end.
        expect(own[0]!.low_end_count).toBeGreaterThan(own.find((row) => row.from_share === 0)!.corner_count);
    });

    test('least half-lengths of 300 random slots', async () => {
        const random = new Random(3);
        const judged = (out: number, aft: number, tol: number | null): Judged => ({
            slope: { out, aft },
            tol,
        });
        const cases = Array.from({ length: 300 }, (_, i) => {
            const design = {
                half_mm: 10,
                side_mm: i % 3 === 0 ? 5 * random.uniform() : 0,
                middle: { out: random.normal(0, 3), aft: random.normal(0, 3) },
                axis_deg: 180 * random.uniform() - 90,
                index_count: 3,
                index_step_deg: 120,
            };
            const slot = slotsOf(design)[random.whole(0, 5)]!;
            return {
                need: { out: random.normal(0, 9), aft: random.normal(0, 9) },
                slot,
                camber: judged(0.09, random.normal(0, 0.01), 0.2),
                caster: judged(random.normal(0, 0.01), 0.09, i % 5 === 0 ? null : 0.5),
            };
        });
        const vector = '{"out":"DOUBLE","aft":"DOUBLE"}';
        const angle = '{"slope_out":"DOUBLE","slope_aft":"DOUBLE","tol":"DOUBLE"}';
        const flat = ({ slope: s, tol }: Judged) => ({ slope_out: s.out, slope_aft: s.aft, tol });
        const found = await db.cells(
            `select required_half_length(need, middle, slot_normals(slot, side, camber, caster)) as mm
            from (select unnest(from_json($cases::json,
                '[{"need":${vector},"middle":${vector},"slot":${vector},"side":${vector},"camber":${angle},"caster":${angle}}]'
            ), max_depth := 2))`,
            {
                cases: JSON.stringify(
                    cases.map(({ need, slot, camber, caster }) => ({
                        need,
                        middle: slot.middle,
                        slot: slot.along,
                        side: slot.side,
                        camber: flat(camber),
                        caster: flat(caster),
                    })),
                ),
            },
        );
        for (const [i, { need, slot, camber, caster }] of cases.entries()) {
            const mm = requiredHalfLength(need, slot, camber, caster);
            if (mm === Number.POSITIVE_INFINITY) expect(found[i]!.mm).toBe(mm);
            else expect(found[i]!.mm as number).toBeCloseTo(mm, 9);
        }
    });

    test('shares of every kit, chassis and target, and their intervals', async () => {
        const all = await rows();
        const { fields, kits } = whatIfData(all);
        const best = all.ranges.filter((row) => row.plate_index === null && row.kit !== null);
        expect(best.length).toBeGreaterThanOrEqual(8);
        for (const row of best) {
            const field = fields.find((one) => one.name === `${row.chassis}, ${row.target}`)!;
            const { design } = kitFor(kits, row.kit!, row.chassis)!;
            const reach = reachOf(field, design, field.effectiveCount[row.kit!]!);
            expect(reach.share).toBeCloseTo(row.share_reachable!, 12);
            expect(reach.low).toBeCloseTo(row.conf_low!, 9);
            expect(reach.high).toBeCloseTo(row.conf_high!, 9);
        }
    });
});

test('corners of a zonotope: a square, and a square drawn out along a slanting slot', () => {
    const square = zonotope({ out: 1, aft: 0 }, [
        { out: 1, aft: 0 },
        { out: 0, aft: 2 },
    ]);
    expect(square).toEqual([
        { out: 0, aft: -2 },
        { out: 2, aft: -2 },
        { out: 2, aft: 2 },
        { out: 0, aft: 2 },
    ]);
    const drawn = zonotope({ out: 0, aft: 0 }, [
        { out: 1, aft: 0 },
        { out: 0, aft: 1 },
        { out: -3, aft: -3 },
    ]);
    expect(drawn).toHaveLength(6);
    expect(drawn).toContainEqual({ out: 4, aft: 4 });
    expect(drawn).toContainEqual({ out: -4, aft: -2 });
});

test('a polygon is cut at the edge of the picture', () => {
    const triangle = [
        { out: 0, aft: 0 },
        { out: 20, aft: 0 },
        { out: 0, aft: 5 },
    ];
    const cut = clipped(triangle, 10);
    expect(cut).toHaveLength(4);
    expect(cut).toContainEqual({ out: 10, aft: 2.5 });
    expect(clipped(triangle, 30)).toEqual(triangle);
    expect(
        clipped(
            [
                { out: 40, aft: 0 },
                { out: 50, aft: 0 },
            ],
            30,
        ),
    ).toEqual([]);
});

test('the page says what the command says, and markup in names is text', async () => {
    const page = await reportPage('range', db, stamp);
    const all = await rows();
    const row = all.ranges.find((one) => one.plate_index === null)!;
    expect(page).toContain(`from ${row.corner_count} corners of ${row.vehicle_count} cars`);
    expect(page.includes(escapeText(markup))).toBe(true);
    expect(page.includes('<img')).toBe(false);
});

test('a choice leaves only what was chosen', async () => {
    const page = await reportPage('range', db, stamp, { chassis: 'STOAT', target: 'street', kit: 'AMBER-3' });
    expect(page).toContain('STOAT, street');
    expect(/OTTER|COBALT-1|BIRCH-2/.test(page)).toBe(false);
});

test('without targets, or kits, the page says what is missing', async () => {
    const reading = {
        vehicle: 'car',
        chassis: 'C',
        corner: 'FL',
        measured_at: '2026-03-01',
        visit: 'v',
        visit_kind: 'check',
        phase: 'before',
        camber_deg: -1,
    };
    const empty = await modelOf({ readings: [reading] }, 1, reportQueries(['range']));
    expect(await reportPage('range', empty, stamp)).toContain('There is nothing to show');
    empty.close();
    const bare = await modelOf(
        {
            readings: [reading, { ...reading, vehicle: 'other', camber_deg: -1.4 }],
            targets: [{ target: 'street', camber_deg: -1, camber_tol_deg: 0.2 }],
        },
        1,
        reportQueries(['range']),
    );
    const page = await reportPage('range', bare, stamp);
    bare.close();
    expect(page).toContain('C, street');
    expect(page).not.toContain('id="what-if"');
});

describe('what if, in Chromium', () => {
    const out = mkdtempSync(join(tmpdir(), 'strutmark-range-'));
    const complaints: string[] = [];
    let browser: Browser;
    let page: Page;
    beforeAll(async () => {
        const { file } = await renderReport('range', db, { out, stamp });
        browser = await launchChromium();
        page = await browser.newPage();
        page.on('console', (message) => complaints.push(message.text()));
        page.on('pageerror', (error) => complaints.push(error.message));
        await page.goto(pathToFileURL(file).href);
        await page.locator('#what-if select[name=field]').selectOption('OTTER, street');
        await page.locator('#what-if select[name=kit]').selectOption('AMBER-3');
    });
    afterAll(async () => {
        await browser?.close();
        rmSync(out, { recursive: true });
    });

    const move = async (name: string, value: number) => {
        const slider = page.locator(`#what-if input[name=${name}]`);
        await slider.evaluate((input, to) => {
            (input as HTMLInputElement).value = String(to);
            input.dispatchEvent(new Event('input', { bubbles: true }));
        }, value);
    };
    const said = async () =>
        Number(/Reached: (\d+) %/.exec((await page.locator('.said').textContent())!)![1]) / 100;
    const crosses = () => page.locator('#what-if .plot svg > path[stroke-width="1.5"]').count();

    test('starts with the kit as it is', async () => {
        expect(Math.abs((await said()) - (await shareBySql()))).toBeLessThan(0.0051);
        expect(await page.locator('#what-if output').first().textContent()).toBe('10 mm');
    });

    test('untouched, says of every kit what the table says, between the steps of the sliders too', async () => {
        const { ranges } = await rows();
        const off = ranges.find((row) => row.kit === odd && row.plate_index === null)!;
        expect(off.share_reachable).toBeGreaterThan(0);
        for (const row of ranges.filter((one) => one.plate_index === null && one.kit !== null)) {
            await page.locator('#what-if select[name=field]').selectOption(`${row.chassis}, ${row.target}`);
            await page.locator('#what-if select[name=kit]').selectOption(row.kit!);
            expect(await said()).toBe(Math.round(100 * row.share_reachable!) / 100);
        }
        await page.locator('#what-if select[name=kit]').selectOption(odd);
        expect(await page.locator('#what-if output').first().textContent()).toBe('9.24 mm');
        await page.locator('#what-if select[name=field]').selectOption('OTTER, street');
        await page.locator('#what-if select[name=kit]').selectOption('AMBER-3');
    });

    test.each([
        ['half_mm', 4, { half: 4 }],
        ['half_mm', 16, { half: 16 }],
        ['middle_out', -6, { out: -6 }],
        ['middle_aft', 6, { aft: 6 - 2 }],
        ['axis_deg', 35, { turn: 35 }],
    ] as const)(
        'slider %s at %d: share and crosses as the database counts them',
        async (name, value, change) => {
            await page.locator('#what-if button[type=reset]').click();
            await move(name, value);
            const share = await shareBySql(change);
            expect(Math.abs((await said()) - share)).toBeLessThan(0.011);
            expect(Math.abs((await crosses()) - 120 * (1 - share))).toBeLessThan(1.5);
        },
    );

    test('a slider moves by keys, the kit comes back at a press, and nothing broke the policy', async () => {
        await page.locator('#what-if button[type=reset]').click();
        await page.locator('#what-if input[name=half_mm]').focus();
        await page.keyboard.press('ArrowRight');
        expect(await page.locator('#what-if output').first().textContent()).toBe('10.5 mm');
        await page.locator('#what-if button[type=reset]').click();
        expect(await page.locator('#what-if output').first().textContent()).toBe('10 mm');
        expect(complaints).toEqual([]);
    });
});
