import type { Database } from '../db/database.js';
import {
    angleNotRead,
    backToOriginal,
    marginTooWide,
    nothingToAskAbout,
    otherSideUnknown,
    placeNotWrittenDown,
} from '../errors/askMessages.js';
import { UserError } from '../errors/errors.js';
import { normalQuantile } from '../stats/normal.js';
import { normal } from '../stats/settingFunctions.js';
import { rowsOf } from '../stats/settings/advisedSettings.js';
import {
    type Change,
    changedPairs,
    equalGoals,
    type Most,
    mostOf,
    settingAgain,
    type Within,
    withinLimit,
} from '../stats/settings/asks.js';
import { bestPairs, pairOf } from '../stats/settings/pairs.js';
import type { Setting } from '../stats/settings/predicted.js';
import {
    type Corner,
    type Corners,
    type Goal,
    NOTHING_WANTED,
    type Search,
} from '../stats/settings/problem.js';
import type { ToeUnits } from '../stats/settings/toe.js';
import { changesWords } from '../units/askWords.js';
import { type AdvisedRow, advisedRow } from './advisedRow.js';
import { oneSided } from './adviseNotes.js';
import { backNotes, changeNotes, equalNotes, mostNotes, notBack, type Return } from './askNotes.js';
import { type LeftRow, leftSettings } from './history.js';
import { leftAt } from './leftAt.js';
import { changedAfter } from './presentCar.js';
import { returnRows } from './returns.js';
import { placeOf, requireKit } from './settingQuestion.js';

/** What is wanted of a setting instead of a target. */
export type Ask =
    | { kind: 'change'; changes: readonly Change[]; within: Within }
    | { kind: 'equal'; angles: readonly ('camber' | 'caster')[]; within: Within }
    | ({ kind: 'most' } & Most)
    | { kind: 'back_to'; to: string; within: Within };

export interface AskedRows {
    rows: AdvisedRow[];
    notes: string[];
}

export interface AskQuestion {
    vehicle?: string | undefined;
    ask: Ask;
    search: Search;
    units: ToeUnits;
    /** The corners with a kit, or with the present ones. */
    cornersWith: (kit: string | undefined) => Promise<Corners>;
    kit?: string | undefined;
}

type Rest = Partial<Pick<AdvisedRow, 'stopped_by' | 'marks_alone' | 'p_in_tolerance' | 'p_both'>>;

/** Rows of one pair, with what the kind of question adds by corner. */
function rows(
    pairs: Parameters<typeof rowsOf>[1],
    { search, units, ask }: AskQuestion,
    rest: (row: { corner: 'FL' | 'FR' }) => Rest = () => ({}),
): AdvisedRow[] {
    return rowsOf(normal, pairs, search.step, units).map((row) =>
        advisedRow.parse({ ...row, asked: ask.kind, stopped_by: null, marks_alone: null, ...rest(row) }),
    );
}

function requireRead(corners: Corners, angles: readonly ('camber' | 'caster')[], only?: 'FL' | 'FR'): void {
    for (const { corner, ...readings } of corners) {
        if (only !== undefined && corner !== only) continue;
        for (const angle of angles) {
            if (readings[angle].deg === null) throw new UserError(angleNotRead(corner, angle), 'not_in_data');
        }
    }
}

async function changed(question: AskQuestion & { ask: { kind: 'change' } & Ask }): Promise<AskedRows> {
    const { changes, within } = question.ask;
    const corners = await question.cornersWith(question.kit);
    for (const { corner, angle } of changes) {
        if (corner !== null && !corners.some((one) => one.corner === corner)) {
            throw new UserError(otherSideUnknown(corner), 'not_in_data');
        }
        requireRead(corners, [angle], corner ?? undefined);
    }
    const pairs = changedPairs(normal, corners, question.search, changes, within, changesWords(changes));
    const answer = rows(pairs, question);
    const known = corners.length === 1 ? [oneSided(corners[0]!.corner)] : [];
    return { rows: answer, notes: [...changeNotes(answer, question.search), ...known] };
}

async function equalled(question: AskQuestion & { ask: { kind: 'equal' } & Ask }): Promise<AskedRows> {
    const { angles, within } = question.ask;
    const corners = await question.cornersWith(question.kit);
    if (corners.length < 2)
        throw new UserError(otherSideUnknown(corners[0]?.corner === 'FL' ? 'FR' : 'FL'), 'not_in_data');
    requireRead(corners, angles);
    const asked = equalGoals(corners, angles, within, `equal ${angles.join(' and ')}`);
    const answer = rows(bestPairs(normal, asked, question.search), question, () => ({
        p_in_tolerance: null,
    }));
    return { rows: answer, notes: equalNotes(answer, angles, within, question.search) };
}

async function furthest(question: AskQuestion & { ask: { kind: 'most' } & Ask }): Promise<AskedRows> {
    const { ask, search } = question;
    const corners = await question.cornersWith(question.kit);
    if (ask.limit_deg !== null) requireRead(corners, [ask.angle]);
    const answer = mostOf(normal, corners, search, ask);
    if (answer === null) throw new UserError(marginTooWide(ask, corners[0]!.new_kit), 'not_in_data');
    const target = `most ${ask.sign < 0 ? 'negative' : 'positive'} ${ask.angle}`;
    const named = (setting: Setting | null) =>
        setting === null ? null : { ...setting, goal: { ...setting.goal, target } };
    const pair = pairOf(named(answer.pair.left), named(answer.pair.right));
    const answered = rows([pair], question, ({ corner }) => {
        const setting = corner === 'FL' ? pair.left! : pair.right!;
        return {
            stopped_by: answer.stops.find((one) => one.corner === corner)!.stop,
            p_in_tolerance: withinLimit(normal, setting, ask),
            p_both: null,
        };
    });
    return { rows: answered, notes: mostNotes(answered, ask, search) };
}

/** Toe is put back to within this (deg per wheel): a workshop's aim, from memory. */
const TOE_WITHIN = 0.05;

function goalOf(left: LeftRow, within: Within): Goal {
    const tolerance = (value: number | null, size: number) => (value === null ? null : size);
    return {
        ...NOTHING_WANTED,
        target: `as left in ${left.visit}`,
        camber_deg: left.camber_deg,
        camber_tol_deg: tolerance(left.camber_deg, within.camber),
        caster_deg: left.caster_deg,
        caster_tol_deg: tolerance(left.caster_deg, within.caster),
        toe_deg: left.toe_deg,
        toe_tol_deg: tolerance(left.toe_deg, TOE_WITHIN),
    };
}

/**
 * What is left of an angle that comes back, in standard deviations: the bias of one and the same gauge cancels; `spread_deg`: how far
 * the kit's returns to a mark scatter, where they tell.
 */
function comesBack(setting: Setting, left: LeftRow, angle: 'camber' | 'caster', spread_deg: number) {
    const then = left[`${angle}_deg`];
    const { deg, var_deg2 } = setting[angle];
    const reading = setting.corner[angle];
    if (then === null || deg === null || var_deg2 === null) return null;
    const oneGauge = left.gauge !== null && left.gauge === reading.gauge;
    const u = oneGauge ? left[`${angle}_apart_u_deg`]! : left[`${angle}_u_deg`]!;
    const now = var_deg2 - (oneGauge ? (reading.bias_var_deg2 ?? 0) : 0);
    return {
        angle,
        then_deg: then,
        off_deg: deg - then,
        sd_deg: Math.sqrt(now + u * u + spread_deg * spread_deg),
    };
}

async function wentBack(
    db: Database,
    question: AskQuestion & { ask: { kind: 'back_to' } & Ask },
): Promise<AskedRows> {
    const { ask } = question;
    const lefts = leftAt(await leftSettings(db, question.vehicle!), question.vehicle!, ask.to);
    const original = lefts.find((left) => left.kit === null);
    if (original !== undefined)
        throw new UserError(backToOriginal(original.visit, original.corner), 'not_in_data');
    const unplaced = lefts.find(
        (left) => left.plate_index === null || (left.mark_1 === null && left.offset_out_mm === null),
    );
    if (unplaced !== undefined) {
        throw new UserError(
            placeNotWrittenDown(unplaced.visit, unplaced.corner, placeOf(unplaced)),
            'not_in_data',
        );
    }
    const byCorner: { corner: Corner; left: LeftRow; setting: Setting }[] = [];
    for (const left of lefts) {
        await requireKit(db, left.kit!, left.chassis, left.plate_index!);
        const corners = await question.cornersWith(left.kit!);
        const corner = corners.find((one) => one.corner === left.corner);
        if (corner === undefined) continue;
        const setting = settingAgain(
            normal,
            corner,
            {
                corner: left.corner,
                plate_hand: left.plate_hand ?? (left.corner === 'FL' ? 'left' : 'right'),
                plate_index: left.plate_index!,
                mark_1: left.mark_1,
                mark_2: left.mark_2,
                out_mm: left.offset_out_mm ?? 0,
                aft_mm: left.offset_aft_mm ?? 0,
            },
            goalOf(left, ask.within),
        );
        byCorner.push({ corner, left, setting });
    }
    if (byCorner.length === 0) throw new UserError(nothingToAskAbout(question.vehicle!), 'not_in_data');
    const kits = [...new Set(byCorner.map(({ left }) => left.kit!))];
    const repeated = (await Promise.all(kits.map((kit) => returnRows(db, { kit }))))
        .flat()
        .filter(({ plate_index }) => plate_index === null);
    const spreadOf = (kit: string, angle: 'camber' | 'caster') =>
        repeated.find((row) => row.kit === kit && row.response === `${angle}_deg`)?.spread_deg ?? 0;
    const returns: Return[] = byCorner.map(({ left, setting }) => ({
        left,
        angles: (['camber', 'caster'] as const)
            .map((angle) => comesBack(setting, left, angle, spreadOf(left.kit!, angle)))
            .filter((one) => one !== null),
        same_clocking: setting.same_clocking,
        same_kit: setting.corner.kit === left.kit,
    }));
    // Bonferroni's: so many standard deviations hold all angles of a car that comes back with 95 % at least.
    const angles = returns.reduce((count, one) => count + one.angles.length, 0);
    const most = normalQuantile(1 - 0.025 / angles);
    const side = (name: 'FL' | 'FR') =>
        byCorner.find(({ corner }) => corner.corner === name)?.setting ?? null;
    const alone = (name: 'FL' | 'FR') => {
        const one = returns.find(({ left }) => left.corner === name)!;
        if (one.angles.length === 0) return null;
        return one.same_clocking && notBack(one, most).length === 0;
    };
    const answer = rows([pairOf(side('FL'), side('FR'))], question, ({ corner }) => ({
        marks_alone: alone(corner),
    }));
    const from = lefts[0]!.left_on;
    const changed = from === null ? null : await changedAfter(db, question.vehicle!, from);
    return { rows: answer, notes: backNotes(answer, returns, most, TOE_WITHIN, repeated, changed) };
}

/** The rows and sentences for what is asked instead of a target; a {@link UserError} where the data cannot answer it. */
export async function askedRows(db: Database, question: AskQuestion): Promise<AskedRows> {
    const { ask } = question;
    switch (ask.kind) {
        case 'change':
            return changed({ ...question, ask });
        case 'equal':
            return equalled({ ...question, ask });
        case 'most':
            return furthest({ ...question, ask });
        case 'back_to':
            return wentBack(db, { ...question, ask });
    }
}
