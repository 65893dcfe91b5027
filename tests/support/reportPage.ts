import { join } from 'node:path';
import type { Database } from '../../src/db/database.js';
import type { BuildStamp } from '../../src/report/buildStamp.js';
import type { ReportChoice } from '../../src/report/choice.js';
import { PageLinks } from '../../src/report/page/links.js';
import { reportPage as madePage, writePage } from '../../src/report/renderReport.js';

const alone = new PageLinks([], false);

/** The page of report `name`, by itself, as text. */
export async function reportPage(
    name: string,
    db: Database,
    stamp: BuildStamp,
    choice: ReportChoice = {},
    links = alone,
): Promise<string> {
    return (await madePage(name, db, stamp, choice, links)).text;
}

/** Writes the page of report `name`, by itself, into the folder `out`. */
export async function renderReport(
    name: string,
    db: Database,
    { out, stamp, choice }: { out: string; stamp: BuildStamp; choice?: ReportChoice },
): Promise<{ file: string; bytes: number }> {
    return writePage(join(out, `${name}.html`), await reportPage(name, db, stamp, choice));
}
