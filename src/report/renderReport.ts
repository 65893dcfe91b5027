import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Database } from '../db/database.js';
import type { Cell } from '../db/values.js';
import { UserError } from '../errors/errors.js';
import { cannotWrite } from '../errors/messages.js';
import { systemReason } from '../errors/systemReason.js';
import { shortened, visibleText } from '../units/visibleText.js';
import type { BuildStamp } from './buildStamp.js';
import { choiceParameters, type ReportChoice } from './choice.js';
import type { Content } from './defineReport.js';
import { makeFolder } from './makeFolder.js';
import { pageAssets } from './page/assets.js';
import type { PageLinks } from './page/links.js';
import { pageMarkup } from './page/page.js';
import { loadReport } from './registry.js';

/** Pages draw and compare names as they show them; one that came in before names had a limit must not widen a page. */
const LONGEST_TEXT = 400;

function shownText(text: string): string {
    const shown = shortened(visibleText(text), LONGEST_TEXT);
    // Vega looks names up in plain objects: a car called constructor would be found there.
    return shown in Object.prototype ? `${shown}\u00a0` : shown;
}

function shownCell(cell: Cell): Cell {
    if (typeof cell === 'string') return shownText(cell);
    if (Array.isArray(cell)) return cell.map(shownCell);
    if (cell === null || typeof cell !== 'object') return cell;
    return Object.fromEntries(Object.entries(cell).map(([name, value]) => [name, shownCell(value)]));
}

/** What the index says of a page. */
export interface Entry {
    name: string;
    headline: string;
    picture: string | null;
}

/**
 * What the page of report `name` says: its queries run on `db`, which holds the model tables. A query gets those parts of `choice`
 * that it names as parameters, null where nothing was chosen.
 */
export async function reportContent(name: string, db: Database, choice: ReportChoice): Promise<Content> {
    const { report, queries } = await loadReport(name);
    const cells: Record<string, object[]> = {};
    for (const [query, file] of queries) {
        const sql = readFileSync(file, 'utf8');
        const rows = await db.cells(sql, choiceParameters(sql, choice));
        cells[query] = rows.map((row) => shownCell(row) as object);
    }
    return report.content(cells);
}

/** The page of report `name`, and what the index says of it. Same database and stamp, same bytes. */
export async function reportPage(
    name: string,
    db: Database,
    stamp: BuildStamp,
    choice: ReportChoice,
    links: PageLinks,
): Promise<{ text: string; entry: Entry }> {
    const { report } = await loadReport(name);
    const content = await reportContent(name, db, choice);
    const { text, picture } = await pageMarkup(name, report, content, stamp, pageAssets(), links);
    return { text, entry: { name, headline: content.headline, picture } };
}

/** Writes `text` to `file` in one step; its folder is made. A UserError when it cannot be written. */
export function writePage(file: string, text: string): { file: string; bytes: number } {
    const page = Buffer.from(text);
    makeFolder(dirname(file));
    try {
        writeFileSync(`${file}.part`, page);
        renameSync(`${file}.part`, file);
    } catch (error) {
        rmSync(`${file}.part`, { force: true });
        throw new UserError(cannotWrite(file, systemReason(error)), 'cannot_write');
    }
    return { file, bytes: page.length };
}
