import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { packageRoot } from '../packageRoot.js';
import type { Report } from './defineReport.js';

/** The report of `reports/name`; the bundled program has its own way (scripts/bundle.mjs). */
export async function importReport(name: string): Promise<Report> {
    const module = join(packageRoot(), 'reports', name, 'report.ts');
    return ((await import(pathToFileURL(module).href)) as { default: Report }).default;
}
