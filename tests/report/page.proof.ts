import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Database, identifier } from '../../src/db/database.js';
import { UsageError, UserError } from '../../src/errors/errors.js';
import { cautions, estimateStatement, partsStatement } from '../../src/report/cautions.js';
import { escapeText } from '../../src/report/html.js';
import { listReports, loadReport } from '../../src/report/registry.js';
import { reportContent } from '../../src/report/renderReport.js';
import { chartsOf, checkChart } from '../support/checkChart.js';
import { testInChromium } from '../support/inChromium.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';
import { renderReport, reportPage } from '../support/reportPage.js';

const stamp = { version: '1.2.3', reading_count: 1234, load_count: 1 };

/** The pages that were made, by name. */
const pages = new Map<string, string>();

describe.each(listReports())('page %s', (name) => {
    let db: Database;
    let page: string;
    /** What the page was made from, by the text of the query. */
    const asked = new Map<string, object[]>();

    beforeAll(async () => {
        db = await reportDatabase(name);
        const { cells } = db;
        db.cells = async (sql, parameters) => {
            const rows = await cells.call(db, sql, parameters);
            asked.set(sql, rows);
            return rows;
        };
        page = await reportPage(name, db, stamp);
        db.cells = cells;
        pages.set(name, page);
    });

    /** Rows of its queries. */
    async function rowsOf(): Promise<Record<string, object[]>> {
        const { queries } = await loadReport(name);
        return Object.fromEntries(
            [...queries].map(([query, file]) => [query, asked.get(readFileSync(file, 'utf8'))!]),
        );
    }

    const between = (start: string, end: string) => {
        const from = page.indexOf(start) + start.length;
        return page.slice(from, page.indexOf(end, from));
    };

    test('the policy lets nothing in but the one script and the one style by their hash', () => {
        const policy = between('http-equiv="Content-Security-Policy" content="', '"').replaceAll(
            '&#39;',
            "'",
        );
        const hash = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
        expect(policy.split('; ')).toEqual([
            "default-src 'none'",
            `script-src ${hash(between('<script>', '</script>'))}`,
            `style-src ${hash(between('<style>', '</style>'))}`,
            'img-src blob:',
            "base-uri 'none'",
            "form-action 'none'",
        ]);
        // Blocks of JSON beside the charts' are data that a part of the page computes with; nothing runs them.
        const tags = page.match(/<(script|style|link|img|iframe|object|base)\b[^>]*>/g) ?? [];
        expect(tags.filter((tag) => tag !== '<script type="application/json">')).toEqual([
            '<style>',
            '<script type="application/json" id="charts">',
            '<script>',
        ]);
        expect(page.match(/<[a-z]+[^>]* (style|on\w+)="/g)).toBeNull();
    });

    test('nothing is fetched: no address in markup, style or data', () => {
        // Hashes in base64 may hold any letters behind a slash.
        const outside = page.replace(between('<script>', '</script>'), '').replace(/sha256-[\w+/=]+/g, '');
        expect(outside.match(/https?:|\/\/[a-z]|@import|url\((?!#)/g)).toBeNull();
        expect(between('<style>', '</style>').match(/@font-face/)).toBeNull();
    });

    test('carries question, findings, method, cautions, stamp and statement', async () => {
        const { report } = await loadReport(name);
        const statement = report.basis === 'readings' ? estimateStatement : partsStatement;
        for (const text of [report.title, report.question, statement, ...Object.values(cautions)]) {
            expect(page.includes(escapeText(text)), escapeText(text)).toBe(true);
        }
        for (const part of ['Findings', 'How the numbers are made', 'Before you act on this'])
            expect(page.includes(`>${part}</h2>`), `>${part}</h2>`).toBe(true);
        const from =
            report.basis === 'readings' ? '1,234 readings in 1 load' : 'the parts in 1 load, no reading';
        expect(page.includes(`From ${from}. Made by Strutmark 1.2.3.`), from).toBe(true);
        expect(page).not.toContain('npx npx');
    });

    test('every class of a table has its rule', () => {
        const style = between('<style>', '</style>');
        for (const [, classes] of page.matchAll(/<table class="([^"]*)"/g))
            for (const name of classes!.split(' '))
                expect(style, name).toMatch(new RegExp(`\\.${name}[ ,{]`));
    });

    test('opens with a finding, a picture and three sentences at most', async () => {
        const { report } = await loadReport(name);
        const { headline, picture, answer } = report.content(await rowsOf());
        expect(headline).toMatch(/^\S.{10,}[^.]$/);
        expect(answer.length).toBeGreaterThan(0);
        expect(answer.length).toBeLessThanOrEqual(3);
        expect(answer.filter((text) => !text.endsWith('.'))).toEqual([]);
        expect(['chart', 'drawing', 'whatIf', 'sheet']).toContain(picture[0]?.kind);
    });

    test('stays under 1.5 MB', () => {
        expect(Buffer.byteLength(page)).toBeLessThan(1_500_000);
    });

    test('every chart is valid, compiles without warnings and reads only fields of its rows', async () => {
        const { report } = await loadReport(name);
        const charts = chartsOf(report.content(await rowsOf()));
        expect(charts.length).toBeGreaterThan(0);
        expect(
            charts.flatMap((one) =>
                checkChart(one, report.schemas).map((problem) => `${one.title}: ${problem}`),
            ),
        ).toEqual([]);
        for (const one of charts) {
            expect(one.alt.length, one.title).toBeGreaterThan(20);
            expect(one.table.body.length, one.title).toBeGreaterThan(0);
        }
    });

    // Last: it turns the tables round.
    test('same rows, same content, whatever their order', async () => {
        const { report } = await loadReport(name);
        const before = JSON.stringify(report.content(await rowsOf()));
        for (const { table_name } of await db.cells('select table_name from duckdb_tables()')) {
            const table = identifier(String(table_name));
            await db.run(`create or replace table ${table} as select * from ${table} order by rowid desc`);
        }
        expect(JSON.stringify(await reportContent(name, db, {})) === before).toBe(true);
    });
});

describe('slopes', () => {
    test('markup in names shows as text', async () => {
        const db = await reportDatabase('slopes');
        const page = await reportPage('slopes', db, stamp);
        expect(page.includes('<img')).toBe(false);
        expect(page.includes(escapeText(markup)), escapeText(markup)).toBe(true);
        expect(
            page.includes(JSON.stringify(markup).replaceAll('<', '\\u003c')),
            JSON.stringify(markup).replaceAll('<', '\\u003c'),
        ).toBe(true);
    });
});

describe('renderReport', () => {
    const out = mkdtempSync(join(tmpdir(), 'strutmark-report-'));
    afterAll(() => rmSync(out, { recursive: true }));

    test('writes one file into a folder that it makes', async () => {
        const db = await reportDatabase('slopes');
        const folder = join(out, 'deep', 'pages');
        const written = await renderReport('slopes', db, { out: folder, stamp });
        expect(readdirSync(folder)).toEqual(['slopes.html']);
        expect(written).toMatchObject({
            file: join(folder, 'slopes.html'),
            bytes: readFileSync(written.file).length,
        });
    });

    test('a folder that cannot be made is an error the user can mend', async () => {
        const db = await reportDatabase('slopes');
        const below = join(out, 'deep', 'pages', 'slopes.html', 'folder');
        await expect(renderReport('slopes', db, { out: below, stamp })).rejects.toThrow(UserError);
    });

    test('an unknown name is a usage error that lists the known ones', async () => {
        await expect(loadReport('nothing')).rejects.toThrow(UsageError);
        await expect(loadReport('nothing')).rejects.toThrow('slopes');
    });
});

testInChromium(
    listReports(),
    async (name) => pages.get(name) ?? reportPage(name, await reportDatabase(name), stamp),
    () => true,
);
