import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { schemas } from '../../reports/audit/rows.js';
import type { Database } from '../../src/db/database.js';
import { choiceParameters } from '../../src/report/choice.js';
import { escapeText } from '../../src/report/html.js';
import { loadReport, reportQueries } from '../../src/report/registry.js';
import { modelOf } from '../support/memory.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 0, load_count: 0 };
let db: Database;
let page: string;
beforeAll(async () => {
    db = await reportDatabase('audit');
    page = await reportPage('audit', db, stamp);
});

describe('the page says what the command says', () => {
    test('overall share, interval and counts', async () => {
        const [all] = await db.cells(
            "select * from audited(null, null, 1.65, 30, false) where response = 'all'",
        );
        expect(page).toContain(`${all!.hit_count} of ${all!.count} visits of 120 cars hit every angle`);
        expect(page).toContain(
            `${all!.in_count} are inside for sure, ${all!.out_count} have an angle outside`,
        );
    });

    test('misses add up to those of the audit, one cause each', async () => {
        const { queries } = await loadReport('audit');
        expect([...queries.keys()].sort()).toEqual(Object.keys(schemas).sort());
        const missed = await db.cells(
            `select response, count(*) - sum(hit_count)::bigint as more, any_value(count) - any_value(hit_count) as misses
            from audited(null, null, 1.65, 30, false) where response in ('camber_deg', 'caster_deg', 'toe_deg') group by response`,
        );
        for (const { response, misses } of missed) {
            const name = String(response).replace('_deg', '');
            if (misses === 0) continue;
            expect(page).toContain(`${name[0]!.toUpperCase()}${name.slice(1)}, ${misses} miss`);
        }
    });

    test('an order is said to be open as far as it is', async () => {
        const { report, queries } = await loadReport('audit');
        const cells: Record<string, object[]> = {};
        for (const [name, file] of queries) {
            const sql = readFileSync(file, 'utf8');
            cells[name] = await db.cells(sql, choiceParameters(sql, {}));
        }
        const groups = cells.groups as { split_by: string; response: string }[];
        const overall = groups.filter((row) => row.split_by === 'overall');
        const [one] = groups.filter((row) => row.split_by !== 'overall' && row.response === 'all');
        const told = (lows: number[], highs: number[]) => {
            const ranked = lows.map((low, i) => ({ ...one, rank_low: low, rank_high: highs[i] }));
            const { findings } = report.content({ ...cells, groups: [...overall, ...ranked] });
            return findings.find(({ about }) => about === 'Order')?.text;
        };
        expect(told([1, 1, 1], [3, 3, 3])).toMatch(/no order is supported: .* any place could be another/);
        expect(told([1, 1, 2], [2, 3, 3])).toMatch(/^By \w+ not every place is certain/);
        expect(told([1, 2, 3], [1, 2, 3])).toBeUndefined();
    });

    test('toe left as it came out is told with its corners', async () => {
        const [toe] = await db.cells(
            "select count(*) as corners from toe_settings where toe_state = 'not set again'",
        );
        expect(toe!.corners as number).toBeGreaterThan(3);
        expect(page).toContain(`at ${toe!.corners} corners the sheet says so`);
    });
});

test('errors beyond 3 tolerances stand in bars of their own, with their count', async () => {
    const { queries } = await loadReport('audit');
    const errors = await db.rows(schemas.errors, readFileSync(queries.get('errors')!, 'utf8'));
    const counted = await db.cells(
        `select response, count(*) filter (where error_deg / tol_deg < -3) as low,
            count(*) filter (where error_deg / tol_deg >= 3) as high, count(*) as n
        from judged_settings(1.65) where tol_deg > 0 and response in ('camber_deg', 'caster_deg', 'toe_deg') group by response`,
    );
    const sum = (rows: typeof errors) => rows.reduce((total, row) => total + row.setting_count, 0);
    expect(counted.some(({ low, high }) => (low as number) > 0 && (high as number) > 0)).toBe(true);
    for (const { response, low, high, n } of counted) {
        const here = errors.filter((row) => row.response === response);
        expect(sum(here)).toBe(n);
        expect(sum(here.filter((row) => row.tolerances === 'under -3'))).toBe(low);
        expect(sum(here.filter((row) => row.tolerances === '3 and more'))).toBe(high);
        for (const row of here) {
            const apart = !row.tolerances.includes(' to ');
            expect(Math.abs(row.shown_from + row.shown_to) / 2 > 3.1).toBe(apart);
        }
    }
});

test('counts stand beside every name, and markup in names is text', () => {
    expect(page).toContain('Adabelle (');
    expect(page).toContain(escapeText(markup));
    expect(page.includes('<img')).toBe(false);
});

test('anonymous: no technician is named anywhere on the page', async () => {
    const hidden = await reportPage('audit', db, stamp, { anonymous: true });
    expect(hidden.includes('technician 1')).toBe(true);
    expect(/Adabelle|Cyrano/.test(hidden)).toBe(false);
});

test('without a target there is a sentence and no plot', async () => {
    const empty = await modelOf(
        {
            readings: [
                {
                    vehicle: 'car',
                    chassis: 'C',
                    corner: 'FL',
                    measured_at: '2026-03-01',
                    visit: 'v',
                    visit_kind: 'install',
                    phase: 'after',
                    camber_deg: -1,
                },
            ],
        },
        1,
        reportQueries(['audit']),
    );
    const text = await reportPage('audit', empty, stamp);
    empty.close();
    expect(text).toContain('There is nothing to judge');
    expect(text).not.toContain('class="plot"');
});
