import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CheckRow, checkRow } from '../contracts/results/check.js';
import type { Database } from '../db/database.js';
import { UsageError } from '../errors/errors.js';
import { checkSummary, unknownCheck } from '../errors/messages.js';
import { packageRoot } from '../packageRoot.js';

/** One query of `sql/checks`: returns the offending rows; its header says what they mean. */
export interface Check {
    name: string;
    title: string;
    likely: string;
    mend: string;
    /** Checks whose findings on the same car, visit and corner are likely consequences of this one's. */
    explains: readonly string[];
    query: string;
}

export interface CheckAnswer {
    rows: CheckRow[];
    notes: string[];
    /** The same rows by check, surest first, what cannot be told last. */
    groups: { check: Check; rows: CheckRow[] }[];
}

function readCheck(folder: string, file: string): Check {
    const query = readFileSync(join(folder, file), 'utf8');
    const line = (key: string) => new RegExp(`^-- ${key}: (.+)$`, 'm').exec(query)?.[1];
    const header = (key: string) => {
        const found = line(key);
        if (found === undefined)
            throw new Error(`sql/checks/${file}: the header has no line "-- ${key}: ..."`);
        return found;
    };
    return {
        name: file.replace(/\.sql$/, ''),
        title: header('title'),
        likely: header('likely'),
        mend: header('mend'),
        explains: line('explains')?.split(', ') ?? [],
        query,
    };
}

/**
 * The checks, each behind all those that may explain its findings, else in name order. Throws when a header misses its
 * title, likely or mend line, or explains what does not exist or is explained by it.
 */
export function checks(): Check[] {
    const folder = join(packageRoot(), 'sql', 'checks');
    let waiting = readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .sort()
        .map((file) => readCheck(folder, file));
    const names = waiting.map(({ name }) => name);
    const unknown = waiting.flatMap(({ explains }) => explains).filter((name) => !names.includes(name));
    if (unknown.length > 0) throw new Error(`sql/checks: there is no check ${unknown.join(', ')} to explain`);
    const ordered: Check[] = [];
    while (waiting.length > 0) {
        const explained = new Set(waiting.flatMap(({ explains }) => explains));
        const ready = waiting.filter(({ name }) => !explained.has(name));
        if (ready.length === 0) throw new Error('sql/checks: checks explain each other in a circle');
        ordered.push(...ready);
        waiting = waiting.filter((check) => !ready.includes(check));
    }
    return ordered;
}

/** A finding is worth a person's look: not likelier chance than mistake, and not the consequence of another one. */
export function isOpen(row: CheckRow): boolean {
    return (row.p_mistake === null || row.p_mistake >= 0.5) && row.explained_by === null;
}

/** How much surer than its explanation a finding that explains others itself must be to stand by itself. */
const MARGIN = 0.05;

function covers(wide: CheckRow, row: CheckRow, margin: number): boolean {
    return (
        (wide.visit === null || wide.visit === row.visit) &&
        (wide.corner === null || wide.corner === row.corner) &&
        (wide.p_mistake ?? 0) >= (row.p_mistake ?? 0) - margin
    );
}

/** Names in each row the open finding, if any, of an earlier check that explains it. */
function explain(groups: CheckAnswer['groups']): void {
    const open = new Map<string, { explains: readonly string[]; row: CheckRow }[]>();
    for (const { check, rows } of groups) {
        const margin = check.explains.length > 0 ? MARGIN : 1;
        for (const row of rows) {
            if (row.vehicle === null) continue;
            const others = open.get(row.vehicle) ?? [];
            const cause = others.find(
                (other) => other.explains.includes(check.name) && covers(other.row, row, margin),
            );
            row.explained_by = cause?.row.check ?? null;
        }
        if (check.explains.length === 0) continue;
        for (const row of rows.filter((candidate) => isOpen(candidate) && candidate.vehicle !== null)) {
            open.set(row.vehicle!, [...(open.get(row.vehicle!) ?? []), { explains: check.explains, row }]);
        }
    }
}

/**
 * What looks wrong in the accepted data: the rows of every check, or of `only` one; a {@link UsageError} when there is no
 * such check.
 */
export async function check(
    db: Database,
    { only }: { only?: string | undefined } = {},
): Promise<CheckAnswer> {
    const all = checks();
    if (only !== undefined && !all.some(({ name }) => name === only)) {
        throw new UsageError(unknownCheck(only, all.map(({ name }) => name).sort()));
    }
    const groups: CheckAnswer['groups'] = [];
    for (const one of all) {
        if (only !== undefined && one.name !== only && !one.explains.includes(only)) continue;
        const { name, likely, mend, query } = one;
        const found = await db.cells(
            `select chassis, vehicle, corner, visit, finding, p_mistake, source_file as file, source_line as line
            from (${query}) order by p_mistake desc nulls last, file, line, vehicle, visit, corner, finding`,
        );
        const rows = found.map((row) =>
            checkRow.parse({ check: name, likely, mend, explained_by: null, ...row }),
        );
        groups.push({ check: one, rows });
    }
    explain(groups);
    const surest = (rows: readonly CheckRow[]) => Math.max(-1, ...rows.map((row) => row.p_mistake ?? -1));
    const wanted = groups
        .filter((group) => group.rows.length > 0 && (only === undefined || group.check.name === only))
        .sort((a, b) => Math.sign(surest(b.rows)) - Math.sign(surest(a.rows)));
    const rows = wanted.flatMap((group) => group.rows);
    const counts = {
        mistakes: rows.filter((row) => isOpen(row) && row.p_mistake !== null).length,
        remarks: rows.filter((row) => isOpen(row) && row.p_mistake === null).length,
        explained: rows.filter((row) => row.explained_by !== null).length,
        chance: rows.filter((row) => row.explained_by === null && !isOpen(row)).length,
    };
    return { rows, notes: checkSummary(counts), groups: wanted };
}
