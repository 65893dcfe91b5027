import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { UsageError } from '../errors/errors.js';
import { unknownReport } from '../errors/messages.js';
import { packageRoot } from '../packageRoot.js';
import type { Report } from './defineReport.js';
import { importReport } from './importReport.js';

/** Names of all reports: the folders under `reports/`, sorted. */
export function listReports(): string[] {
    return readdirSync(join(packageRoot(), 'reports'), { withFileTypes: true })
        .filter((entry) => entry.isDirectory())
        .map((entry) => entry.name)
        .sort();
}

/** What `report` writes by name: the reports, and the sheet. */
export const pageNames = () => [...listReports(), 'sheet'];

interface LoadedReport {
    name: string;
    report: Report;
    /** SQL file per row schema. */
    queries: ReadonlyMap<string, string>;
}

/** Throws a {@link UsageError} when there is no report `name`. */
function requireReport(name: string): void {
    if (!listReports().includes(name)) throw new UsageError(unknownReport(name, pageNames()));
}

/** The queries of the reports `names`, or of all where none is named. Throws a {@link UsageError} when there is none of a name. */
export function reportQueries(names: readonly string[]): string[] {
    names.forEach(requireReport);
    return (names.length === 0 ? listReports() : names).flatMap((name) => {
        const folder = join(packageRoot(), 'reports', name);
        return readdirSync(folder)
            .filter((file) => file.endsWith('.sql'))
            .map((file) => readFileSync(join(folder, file), 'utf8'));
    });
}

/** Loads a report by name; a {@link UsageError} when there is none, an Error when its folder is incomplete. */
export async function loadReport(name: string): Promise<LoadedReport> {
    requireReport(name);
    const report = await importReport(name);
    const folder = join(packageRoot(), 'reports', name);
    const files = readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .map((file) => file.slice(0, -'.sql'.length))
        .sort();
    const schemas = Object.keys(report.schemas).sort();
    if (files.join() !== schemas.join()) {
        throw new Error(
            `reports/${name}: queries ${files.join(', ')}, but row schemas ${schemas.join(', ')}`,
        );
    }
    return { name, report, queries: new Map(files.map((file) => [file, join(folder, `${file}.sql`)])) };
}
