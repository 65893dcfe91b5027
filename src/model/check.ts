import { availableParallelism } from 'node:os';
import { setImmediate } from 'node:timers/promises';
import { z } from 'zod';
import { type CheckRow, checkRow } from '../contracts/results/check.js';
import type { Database } from '../db/database.js';
import { areSmall } from '../db/smallFiles.js';
import type { Cell } from '../db/values.js';
import { isDiskFull, isInterrupted, isOutOfMemory } from '../errors/exhausted.js';
import { type CheckCounts, checkFailed, checkSummary, findingUnreadable } from '../errors/messages.js';
import type { Finding, Records } from '../stats/checks/finding.js';
import { groupedBy } from '../stats/groupedBy.js';
import { createCalled } from './build.js';
import { Causes, sourceColumns } from './checkCauses.js';
import { asked, type Check, type CheckQuestion, readBy } from './checks.js';
import { wholeTables } from './wholeTables.js';

export interface CheckGroup {
    check: Check;
    rows: CheckRow[];
}

/** A check that could not be asked, or whose findings break the contract: a bug of ours. */
interface CheckFailure {
    check: string;
    error: Error;
}

/** The angle that a finding is about, what it read and what was expected, of what; null where the check names none. */
const angleColumns = z.object({
    angle: z.string().nullable().default(null),
    read_deg: z.number().nullable().default(null),
    expected_deg: z.number().nullable().default(null),
    limit_deg: z.number().nullable().default(null),
    expected_of: z.string().nullable().default(null),
});

type Cells = Record<string, Cell | undefined>;

interface CheckAnswer {
    rows: CheckRow[];
    /** One a row, in the order of `rows`. */
    angles: z.infer<typeof angleColumns>[];
    notes: string[];
    /** The same rows by check, surest first; checks whose findings cannot be told last. */
    groups: CheckGroup[];
    failures: CheckFailure[];
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

/** Of 70 columns: some milliseconds of work. */
const PIECE_ROWS = 400;

const wordOrder = ['source_file', 'source_line', 'vehicle', 'visit', 'corner', 'finding'] as const;

type Found = Omit<Finding, 'p_mistake'> & { p_mistake: number | null };

/** Surest first, what cannot be told last, then by place. */
function surestFirst(a: Found, b: Found): number {
    if (a.p_mistake !== b.p_mistake) return (b.p_mistake ?? -1) - (a.p_mistake ?? -1);
    const differing = wordOrder.find((name) => a[name] !== b[name]);
    if (differing === undefined) return 0;
    const [one, other] = [a[differing], b[differing]];
    return other === null || (one !== null && one < other) ? -1 : 1;
}

/** The same rows, fewer at once, with pauses in which the other connection gets its next statement. */
async function* pieces(batches: AsyncIterable<Records>): AsyncIterable<Records> {
    for await (const { names, columns } of batches) {
        for (let from = 0; from < columns[0]!.length; from += PIECE_ROWS) {
            const piece = (column: ArrayLike<unknown>) =>
                (column as unknown[]).slice(from, from + PIECE_ROWS);
            yield { names, columns: columns.map(piece) };
            await setImmediate();
        }
    }
}

/** What checks find that are computed of the same rows, in their order. */
async function computed(db: Database, checks: readonly Check[]): Promise<Found[][]> {
    const { findingsOf } = await import('../stats/checks/index.js');
    const names = checks.map(({ name }) => name);
    const found = checks.map((): Found[] => []);
    const whole = await wholeTables(db, [...new Set(checks.flatMap(({ givenWhole }) => givenWhole))]);
    for await (const [name, finding] of findingsOf(names, pieces(db.numbers(checks[0]!.query)), whole))
        found[names.indexOf(name)]!.push(finding);
    return found;
}

/** The rows of each of these checks, which are asked as one, surest first. */
async function foundBy(db: Database, checks: readonly Check[]): Promise<Cells[][]> {
    const [{ isComputed, query }] = checks as [Check];
    const found = isComputed ? await computed(db, checks) : [(await db.cells(query)) as unknown as Found[]];
    return found.map((own) =>
        own
            .sort(surestFirst)
            .map((finding) => ({ ...finding, file: finding.source_file, line: finding.source_line })),
    );
}

/** The findings of `one` in what it `found`, those of other checks that explain them named; its open ones are noted in `causes`. */
async function findings(db: Database, one: Check, found: readonly Cells[], causes: Causes) {
    const { name, likely, mend } = one;
    const rows: CheckRow[] = [];
    const angles: CheckAnswer['angles'] = [];
    const open: { row: CheckRow; source: ReturnType<typeof sourceColumns.parse> }[] = [];
    let unreadable: Error | undefined;
    for (const cells of found) {
        const {
            success,
            data: row,
            error,
        } = checkRow.safeParse({ check: name, likely, mend, explained_by: null, ...cells });
        if (!success) {
            const issue = error.issues[0]!;
            unreadable ??= new Error(findingUnreadable(issue.path.join('.'), issue.message));
            continue;
        }
        row.explained_by = causes.of(one, row);
        rows.push(row);
        angles.push(angleColumns.parse(cells));
        if (isOpen(row)) open.push({ row, source: sourceColumns.parse(cells) });
    }
    await causes.add(db, one, open);
    return { rows, angles, unreadable };
}

/** Checks that are computed of the same rows are asked as one, the others by themselves. */
const askedAs = ({ name, isComputed, query }: Check) => (isComputed ? query.replace(/^--.*\n/gm, '') : name);

const readsPlacements = ([one]: readonly Check[]) => /\b(placements|first_written)\b/.test(one!.query);

/**
 * Does `work` with the view placements made as a temporary table where two `readers` or more ask it: in a small database to plan it takes as
 * long as to plan and ask the rest of most.
 */
async function withPlacements(db: Database, readers: number, work: () => Promise<void>) {
    if (readers < 2 || !areSmall(db.file)) return work();
    await db.run('create temp table placements as from placements');
    try {
        await work();
    } finally {
        await db.run('drop table temp.placements').catch(() => undefined);
    }
}

/** One more connection for checks that are asked one after the other, where two get through all sooner: a small database is asked by one thread. */
async function oneBeside(db: Database, some: readonly (readonly Check[])[]): Promise<Database[]> {
    if (some.length < 3 || db.readsAlone || !areSmall(db.file) || availableParallelism() < 2) return [];
    const beside = await db.beside();
    await createCalled(beside, some.flat().flatMap(readBy));
    return [beside];
}

/** What each check finds, or why it could not be asked. */
async function foundByEach(db: Database, toAsk: readonly Check[]): Promise<Map<Check, Cells[] | Error>> {
    const found = new Map<Check, Cells[] | Error>();
    // The longest first, as they take longest to plan; what is computed last, where the other connection begins.
    const order = ([one]: readonly Check[]) => one!.query.length - (one!.isComputed ? 1e6 : 0);
    const ordered = groupedBy(toAsk, askedAs).sort((a, b) => order(b) - order(a));
    const readers = ordered.filter(readsPlacements);
    const others = ordered.filter((one) => !readers.includes(one));
    const ask = async (by: Database, next: () => readonly Check[] | undefined) => {
        for (let some = next(); some !== undefined; some = next()) {
            try {
                const each = await foundBy(by, some);
                for (const [i, one] of some.entries()) found.set(one, each[i]!);
            } catch (error) {
                if (isInterrupted(error) || isDiskFull(error) || isOutOfMemory(error)) {
                    readers.length = others.length = 0;
                    throw error;
                }
                for (const one of some) found.set(one, error as Error);
            }
        }
    };
    const beside = oneBeside(db, others).then((more) =>
        Promise.all(more.map((one) => ask(one, () => others.pop()))),
    );
    const own = withPlacements(db, readers.length, () => ask(db, () => readers.shift() ?? others.shift()));
    const ends = await Promise.allSettled([own, beside]);
    for (const end of ends) if (end.status === 'rejected') throw end.reason;
    return found;
}

/**
 * What looks wrong in the accepted data: the rows of every check, or of `only` one; a {@link UsageError} when there is no
 * such check. A check that fails is named and leaves the others as they are.
 */
export async function check(
    db: Database,
    question: CheckQuestion = {},
    toAsk: readonly Check[] = asked(question),
): Promise<CheckAnswer> {
    const { only } = question;
    const groups: (CheckGroup & Pick<CheckAnswer, 'angles'>)[] = [];
    const failures: CheckFailure[] = [];
    const causes = new Causes();
    const each = await foundByEach(db, toAsk);
    for (const one of toAsk) {
        const found = each.get(one)!;
        if (found instanceof Error) {
            failures.push({ check: one.name, error: found });
            continue;
        }
        const { rows, angles, unreadable } = await findings(db, one, found, causes);
        groups.push({ check: one, rows, angles });
        if (unreadable !== undefined) failures.push({ check: one.name, error: unreadable });
    }
    const isRemark = ({ rows }: CheckGroup) => Number(rows[0]?.p_mistake === null);
    const wanted = groups
        .filter((group) => group.rows.length > 0 && (only === undefined || group.check.name === only))
        .sort((a, b) => isRemark(a) - isRemark(b));
    const rows = wanted.flatMap((group) => group.rows);
    const failed = failures.map(({ check: name, error }) => checkFailed(name, error.message));
    return {
        rows,
        angles: wanted.flatMap((group) => group.angles),
        notes: [...checkSummary(count(rows), failed.length), ...failed],
        groups: wanted,
        failures,
    };
}
