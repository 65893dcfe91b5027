import { type CheckRow, checkRow } from '../contracts/results/check.js';
import type { Database } from '../db/database.js';
import { UsageError } from '../errors/errors.js';
import { type CheckCounts, checkSummary, unknownCheck } from '../errors/messages.js';
import { aboutRows, type Cause, explains, sourceColumns } from './checkCauses.js';
import { type Check, checks } from './checks.js';

export interface CheckGroup {
    check: Check;
    rows: CheckRow[];
}

export interface CheckAnswer {
    rows: CheckRow[];
    notes: string[];
    /** The same rows by check, surest first; checks whose findings cannot be told last. */
    groups: CheckGroup[];
}

/** A finding is worth a person's look: not likelier chance than mistake, and not the consequence of another one. */
export function isOpen(row: CheckRow): boolean {
    return (row.p_mistake === null || row.p_mistake >= 0.5) && row.explained_by === null;
}

function count(rows: readonly CheckRow[]): CheckCounts {
    const counts = { mistakes: 0, remarks: 0, explained: 0, chance: 0 };
    for (const row of rows) {
        if (row.explained_by !== null) counts.explained++;
        else if (!isOpen(row)) counts.chance++;
        else if (row.p_mistake === null) counts.remarks++;
        else counts.mistakes++;
    }
    return counts;
}

interface CheckQuestion {
    only?: string | undefined;
}

/** The checks to run: with `only`, this one and those that may explain its findings. */
function asked({ only }: CheckQuestion): Check[] {
    const all = checks();
    if (only === undefined) return all;
    if (!all.some(({ name }) => name === only)) {
        throw new UsageError(unknownCheck(only, all.map(({ name }) => name).sort()));
    }
    return all.filter(({ name, explains }) => name === only || explains.includes(only));
}

/** The queries that will be asked; a {@link UsageError} when there is no check `only`. */
export function checkNeeds(question: CheckQuestion): string[] {
    return asked(question).map(({ query }) => query);
}

/**
 * What looks wrong in the accepted data: the rows of every check, or of `only` one; a {@link UsageError} when there is no
 * such check.
 */
export async function check(db: Database, question: CheckQuestion = {}): Promise<CheckAnswer> {
    const { only } = question;
    const groups: CheckGroup[] = [];
    /** By the car that they are about; null: a chassis, file, technician or gauge. */
    const causes = new Map<string | null, Cause[]>();
    for (const one of asked(question)) {
        const { name, likely, mend, query } = one;
        const found = await db.cells(
            `select *, source_file as file, source_line as line from (${query})
            order by p_mistake desc nulls last, file, line, vehicle, visit, corner, finding`,
        );
        const rows: CheckRow[] = [];
        for (const cells of found) {
            const row = checkRow.parse({ check: name, likely, mend, explained_by: null, ...cells });
            const near = [null, row.vehicle].flatMap((vehicle) => causes.get(vehicle) ?? []);
            row.explained_by = near.find((cause) => explains(cause, one, row))?.check.name ?? null;
            rows.push(row);
        }
        groups.push({ check: one, rows });
        if (one.explains.length === 0) continue;
        for (const [i, row] of rows.entries()) {
            if (!isOpen(row)) continue;
            const isAbout = await aboutRows(db, row, sourceColumns.parse(found[i]));
            const known = causes.get(row.vehicle) ?? [];
            causes.set(row.vehicle, [...known, { check: one, row, isAbout }]);
        }
    }
    const isRemark = ({ rows }: CheckGroup) => Number(rows[0]?.p_mistake === null);
    const wanted = groups
        .filter((group) => group.rows.length > 0 && (only === undefined || group.check.name === only))
        .sort((a, b) => isRemark(a) - isRemark(b));
    const rows = wanted.flatMap((group) => group.rows);
    return { rows, notes: checkSummary(count(rows)), groups: wanted };
}
