import type { Database } from '../db/database.js';
import { onlyWith, pitchWithoutArm } from '../errors/askMessages.js';
import { UsageError } from '../errors/errors.js';
import { nothingAsked, targetCount, unreadableDate } from '../errors/messages.js';
import { programName } from '../errors/programName.js';
import { oneCarOnly, sheetIsPage } from '../errors/sheetMessages.js';
import type { Needs } from '../model/build.js';
import type { CheckGroup } from '../model/check.js';
import { shortCaution } from '../report/cautions.js';
import type { Plan, Question } from './askModel.js';
import { requireLimits } from './limits.js';
import type { CheckRow, MarkRow, ReportRow, SlopeRow, StackRow } from './rows.js';
import type {
    AdviseQuestion,
    Answer,
    AuditQuestion,
    ClockingQuestion,
    DriftQuestion,
    PlanQuestion,
    RangeQuestion,
    ReportQuestion,
    Some,
    StackQuestion,
    TieRod,
} from './types.js';

const listOf = (some: Some | undefined): readonly string[] =>
    some === undefined ? [] : typeof some === 'string' ? [some] : some;

/** The one or two different targets of a question about settings; a {@link UsageError} otherwise. */
function oneOrTwoTargets(command: string, targets: readonly string[]): readonly string[] {
    const fits = targets.length >= 1 && targets.length <= 2 && new Set(targets).size === targets.length;
    if (!fits) throw new UsageError(targetCount(command));
    return targets;
}

/** A {@link UsageError} where only a part of what they need is given. */
function requireWhole({ threadPitch, armLength, bothThreads }: TieRod): void {
    if ((threadPitch === undefined) !== (armLength === undefined)) throw new UsageError(pitchWithoutArm());
    if (bothThreads && threadPitch === undefined) {
        throw new UsageError(onlyWith('--both-threads', '--thread-pitch and --arm-length'));
    }
}

/** What an answer about settings says last: one line, and where the full text stands. */
export const cautionNote = () => `${shortCaution} Read them once before work: ${programName('')} cautions`;

const cautioned = <A extends { notes: string[] }>(answer: A): A => ({
    ...answer,
    notes: [...answer.notes, cautionNote()],
});

/** `text`, an ISO 8601 date or date and time; a {@link UsageError} for others. */
export function since(text: string): string {
    if (!/^\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2})?)?$/.test(text) || Number.isNaN(Date.parse(text))) {
        throw new UsageError(unreadableDate('--since', text));
    }
    return text;
}

const asking = <T>(needs: Needs, ask: Plan<T>['ask']): Plan<T> => ({ needs, ask });

/*
 * What commands and library ask: each checks its options at once, by a {@link UsageError}, and gives a {@link Question} to put to a database.
 */

export async function slopes(
    question: { chassis?: string | undefined } = {},
): Promise<Question<Answer<SlopeRow> & { marks: MarkRow[] }>> {
    return async () => {
        const { slopes: ask, slopesNeeds } = await import('../model/slopes.js');
        return asking(slopesNeeds, (db) => ask(db, question));
    };
}

export async function drift(question: DriftQuestion = {}) {
    const { config: file } = question;
    if (question.since !== undefined) since(question.since);
    let applyConfig: ((db: Database) => Promise<void>) | null = null;
    if (file !== undefined) {
        const { applyDriftConfig, readDriftConfig } = await import('../model/driftConfig.js');
        const config = readDriftConfig(file);
        applyConfig = (db) => applyDriftConfig(db, config, file);
    }
    return async () => {
        const { drift: ask, driftNeeds } = await import('../model/drift.js');
        const { openNote } = await import('../model/openDrift.js');
        return asking(driftNeeds, async (db) => {
            await applyConfig?.(db);
            const { rows, notes, unrecorded } = await ask(db, question);
            const open = openNote(rows, unrecorded);
            // One note alone says that there is no session.
            return cautioned({
                rows,
                notes: notes.length === 1 ? [...notes, open] : [open, ...notes],
                unrecorded,
            });
        });
    };
}

export async function audit(question: AuditQuestion = {}) {
    requireLimits(question);
    if (question.by !== undefined && question.by.length > 0) {
        const { parseGroupings } = await import('../model/auditQuestion.js');
        parseGroupings(question.by.join(','));
    }
    const given = Object.fromEntries(Object.entries(question).filter(([, value]) => value !== undefined));
    return async () => {
        const { audit: ask, auditNeeds } = await import('../model/audit.js');
        return asking(auditNeeds, (db) => ask(db, given));
    };
}

export async function callBacks(question: Pick<AuditQuestion, 'guard' | 'comeBackDays'> = {}) {
    requireLimits(question);
    return async () => {
        const { callBackNeeds, callBacks: ask } = await import('../model/callBacks.js');
        const { defaultQuestion } = await import('../model/auditQuestion.js');
        const { guard = defaultQuestion.guard, comeBackDays = defaultQuestion.comeBackDays } = question;
        return asking(callBackNeeds, (db) => ask(db, { guard, comeBackDays }));
    };
}

export async function range(question: RangeQuestion = {}) {
    return async () => {
        const { range: ask, rangeNeeds } = await import('../model/range.js');
        return asking(rangeNeeds, (db) => ask(db, question));
    };
}

export async function gauges() {
    return async () => {
        const { gauges: ask, gaugesNeeds } = await import('../model/gauges.js');
        return asking(gaugesNeeds, ask);
    };
}

export async function returns(question: { kit?: string | undefined; mark?: number | undefined } = {}) {
    requireLimits(question);
    return async () => {
        const { returns: ask, returnsNeeds } = await import('../model/returns.js');
        return asking(returnsNeeds, (db) => ask(db, question));
    };
}

/** `failures`: checks that could not be asked, a bug of ours; the others stand. */
export async function check(
    question: { only?: string | undefined } = {},
): Promise<
    Question<Answer<CheckRow> & { groups: CheckGroup[]; failures: { check: string; error: Error }[] }>
> {
    const { checkNeeds } = await import('../model/checks.js');
    const needs = checkNeeds(question);
    return async () => {
        const { check: ask } = await import('../model/check.js');
        return asking(needs, (db) => ask(db, question));
    };
}

/** `lead`: how many of the notes are the answer itself. */
export async function advise(question: AdviseQuestion) {
    const { parseGivenCorners } = await import('../model/givenCorner.js');
    const { parseAsk } = await import('../model/parseAsk.js');
    requireLimits(question);
    const target = listOf(question.target);
    const asked = parseAsk({ ...question, target, change: listOf(question.change) });
    const targets = asked === undefined ? oneOrTwoTargets('advise', target) : [];
    const from = parseGivenCorners(listOf(question.from));
    if (question.vehicle === undefined && from.length === 0) {
        throw new UsageError(
            nothingAsked('advise', '--vehicle NAME, or --from CORNER=CAMBER,CASTER --kit NAME'),
        );
    }
    if (asked?.kind === 'back_to' && from.length > 0) {
        throw new UsageError(onlyWith('--back-to', '--vehicle'));
    }
    requireWhole(question);
    const whole = {
        ...question,
        threadPitch_mm: question.threadPitch,
        armLength_mm: question.armLength,
        toeDiameter_mm: question.toeDiameter,
        targets,
        ask: asked,
        from,
    };
    return async () => {
        const { advise: ask, adviseNeedsOf } = await import('../model/advise.js');
        return asking(adviseNeedsOf(whole), async (db) => cautioned(await ask(db, whole)));
    };
}

export async function clocking(question: ClockingQuestion) {
    requireLimits(question);
    const targets = oneOrTwoTargets('clocking', listOf(question.target));
    if ((question.vehicle === undefined) === (question.chassis === undefined)) {
        throw new UsageError(nothingAsked('clocking', 'either --vehicle NAME or --chassis CODE'));
    }
    return async () => {
        const { clocking: ask, clockingNeeds } = await import('../model/clocking.js');
        return asking(clockingNeeds, async (db) => cautioned(await ask(db, { ...question, targets })));
    };
}

export async function stack({ set, limit, ...question }: StackQuestion): Promise<Question<Answer<StackRow>>> {
    requireLimits({ stackLimit: limit, keepSpringPlate: question.keepSpringPlate });
    const { readRules } = await import('../model/stackRules.js');
    const rules = readRules(listOf(set));
    return async () => {
        const { stack: ask, stackNeeds } = await import('../model/stack.js');
        return asking(stackNeeds, async (db) => cautioned(await ask(db, { ...question, limit, rules })));
    };
}

export async function plan(question: PlanQuestion) {
    requireLimits(question);
    const { slopeWithin = 0.005, shareWithin = 10, ...rest } = question;
    return async () => {
        const { plan: ask, planNeeds } = await import('../model/plan.js');
        return asking(planNeeds, (db) => ask(db, { ...rest, slopeWithin, shareWithin: shareWithin / 100 }));
    };
}

export async function history(question: { vehicle: string }) {
    return async () => {
        const { history: ask, historyNeeds } = await import('../model/history.js');
        return asking(historyNeeds, (db) => ask(db, question));
    };
}

/** Throws a UserError where a name of the choice is not known. */
async function requireNames(db: Database, { vehicle, chassis, kit, shaft, target }: ReportQuestion) {
    const { requireName } = await import('../model/names.js');
    for (const name of listOf(vehicle)) await requireName(db, 'readings', 'vehicle', name);
    if (chassis !== undefined) await requireName(db, 'readings', 'chassis', chassis);
    if (kit !== undefined) {
        await requireName(db, '(select kit from kits union select kit from hardware)', 'kit', kit);
    }
    if (shaft !== undefined) await requireName(db, 'shafts', 'shaft', shaft);
    for (const name of listOf(target)) await requireName(db, 'targets', 'target', name);
}

/** `names`: pages to write, all where there are none; answers with the files. */
export async function report(names: readonly string[], question: ReportQuestion) {
    const { reportQueries } = await import('../report/registry.js');
    const { requireTaken } = await import('../report/requireTaken.js');
    const sheet = names.includes('sheet') ? await import('../sheet/writeSheet.js') : null;
    const { out, format = 'html', chassis, kit, shaft, anonymous } = question;
    const vehicles = listOf(question.vehicle);
    const target = listOf(question.target);
    const pages = names.filter((name) => name !== 'sheet');
    const onlySheet = sheet !== null && pages.length === 0;
    if (vehicles.length > 1 && !onlySheet) throw new UsageError(oneCarOnly());
    if (sheet !== null && format !== 'html') throw new UsageError(sheetIsPage());
    requireLimits(question);
    requireWhole(question);
    if (target.length > 0) oneOrTwoTargets('report', target);
    const choice = {
        vehicle: vehicles[0],
        chassis,
        kit,
        shaft,
        target: target[0],
        target_2: target[1],
        anonymous,
        arm_mm: question.armLength,
        turn_mm: question.threadPitch && question.threadPitch * (question.bothThreads ? 2 : 1),
    };
    const ask = async (db: Database): Promise<ReportRow[]> => {
        await requireNames(db, question);
        if (format === 'html') {
            const { writeReports } = await import('../report/writeReports.js');
            const written = onlySheet ? [] : await writeReports(db, pages, out, choice);
            return sheet === null
                ? written
                : [...written, await sheet.writeSheet(db, out, { vehicles: [...vehicles], chassis, kit })];
        }
        const { writeImages } = await import('../report/image/writeImages.js');
        return writeImages(db, names, out, format, choice);
    };
    const needs = [...(onlySheet ? [] : reportQueries(pages)), ...(sheet?.sheetNeeds ?? [])];
    requireTaken(names, choice);
    return async () => asking(needs, ask);
}
