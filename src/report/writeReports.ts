import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { ReportRow } from '../contracts/results/report.js';
import type { Database } from '../db/database.js';
import { buildStamp } from './buildStamp.js';
import type { ReportChoice } from './choice.js';
import { indexPage } from './page/indexPage.js';
import { PageLinks } from './page/links.js';
import { listReports, loadReport } from './registry.js';
import { type Entry, reportPage, writePage } from './renderReport.js';

/** Pages that stand in the folder `out`. */
function standing(out: string): string[] {
    try {
        return readdirSync(out).flatMap((file) => (file.endsWith('.html') ? file.slice(0, -5) : []));
    } catch {
        return [];
    }
}

/** Links to the pages `names` and to those that stand in `out` already. */
async function linksIn(out: string, names: readonly string[], hasIndex: boolean): Promise<PageLinks> {
    const there = new Set([...names, ...standing(out)]);
    const pages = await Promise.all(
        listReports()
            .filter((name) => there.has(name))
            .map(async (name) => ({ ...(await loadReport(name)).report, name })),
    );
    return new PageLinks(pages, hasIndex || there.has('index'));
}

/**
 * Writes the pages `names` into the folder `out`, made of what `choice` leaves; all of them and an index where none is named. `db`
 * holds the model tables.
 */
export async function writeReports(
    db: Database,
    names: readonly string[],
    out: string,
    choice: ReportChoice = {},
): Promise<ReportRow[]> {
    const stamp = await buildStamp(db);
    const isWhole = names.length === 0;
    const asked = isWhole ? listReports() : names;
    const links = await linksIn(out, asked, isWhole);
    const written: ReportRow[] = [];
    const entries: Entry[] = [];
    for (const name of asked) {
        const { text, entry } = await reportPage(name, db, stamp, choice, links);
        written.push({ name, ...writePage(join(out, `${name}.html`), text) });
        entries.push(entry);
    }
    if (isWhole)
        written.push({
            name: 'index',
            ...writePage(join(out, 'index.html'), indexPage(entries, links, stamp)),
        });
    return written;
}
