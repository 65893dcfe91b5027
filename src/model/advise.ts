import { z } from 'zod';
import { type AdviseRow, adviseRow } from '../contracts/results/advise.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { indexUnknown, kitNeeded, noKitFitted } from '../errors/messages.js';
import { normal } from '../stats/settingFunctions.js';
import { advisedSettings } from '../stats/settings/advisedSettings.js';
import type { Corners, Search } from '../stats/settings/problem.js';
import type { ToeUnits } from '../stats/settings/toe.js';
import { cornerName } from '../units/cornerName.js';
import { settingWords } from '../units/settingWords.js';
import { type AdvisedRow, advisedRow } from './advisedRow.js';
import { adviseNotes } from './adviseNotes.js';
import { type Ask, type AskedRows, askedRows } from './ask.js';
import { type ClassRules, classNotes, classRules, overLimit, ruledAsk } from './classRules.js';
import type { GivenCorner } from './givenCorner.js';
import { historyNeeds } from './history.js';
import { knownNames } from './names.js';
import { pointerNotes } from './pointerNotes.js';
import { changedNotes, presentCar, startNotes } from './presentCar.js';
import { returnsNeeds } from './returns.js';
import { givenCorners, givenParameter, placeOf, requireKit, requireTarget } from './settingQuestion.js';
import { walkedNotes } from './walkedNotes.js';

export interface AdviseQuestion {
    /** Car whose readings are asked about; with `from` only a name. */
    vehicle?: string | undefined;
    /** One or two names; none where there is an `ask`. */
    targets: readonly string[];
    /** What is wanted instead of a target. */
    ask?: Ask | undefined;
    /** Kit to fit instead of the present one; needed with `from` and on original mounts. */
    kit?: string | undefined;
    /** Bolt position to ask about, and whether each side takes the plate of its own hand; default the present ones. */
    index?: number | undefined;
    hand?: 'own' | 'other' | undefined;
    anyIndex?: boolean | undefined;
    /** Steps of the marks, default one half. */
    step?: number | undefined;
    /** Diameter at which toe is wanted in mm as well. */
    toeDiameter_mm?: number | undefined;
    /** Pitch of the tie rod's thread and length of the steering arm, both or none, for toe in turns as well. */
    threadPitch_mm?: number | undefined;
    armLength_mm?: number | undefined;
    /** The sleeve has a left-hand thread at one end and a right-hand one at the other, so that a turn counts twice. */
    bothThreads?: boolean | undefined;
    /** Corners told instead of stored readings, and the chassis that they belong to. */
    from?: readonly GivenCorner[] | undefined;
    chassis?: string | undefined;
    /** Class of the rules file that the setting is to keep to. */
    class?: string | undefined;
}

interface Subject {
    chassis: string | null;
    kit: string;
    /** Why the answer may not hold at all. */
    ahead: string[];
    /** What it starts from, and why that may be wrong. */
    notes: string[];
}

/** Checks that the stored corners of `vehicle` can be asked about. */
async function storedCar(db: Database, question: AdviseQuestion, vehicle: string): Promise<Subject> {
    const corners = await presentCar(db, vehicle);
    const back = question.ask?.kind === 'back_to';
    for (const row of corners) {
        const kit = question.kit ?? row.kit;
        if (back) continue;
        if (kit === null)
            throw new UserError(noKitFitted(vehicle, await knownNames(db, 'kits', 'kit')), 'not_in_data');
        await requireKit(db, kit, row.chassis, question.index);
        const open = question.index !== undefined || question.anyIndex === true || kit !== row.kit;
        if (row.plate_index === null && !open)
            throw new UserError(indexUnknown(row.corner, placeOf(row)), 'not_in_data');
    }
    const [first] = corners;
    return {
        chassis: first!.chassis,
        kit: question.kit ?? first!.kit ?? '',
        ahead: changedNotes(corners),
        notes: [...(await startNotes(db, vehicle, corners)), ...(await walkedNotes(db, vehicle))],
    };
}

/** What was understood of `--from`, since a decimal comma gives other numbers. */
function toldWords({ corner, camber_deg, caster_deg, offset_out_mm, offset_aft_mm }: GivenCorner): string {
    const place =
        offset_out_mm === null
            ? 'on the original mount'
            : `bearing ${offset_out_mm} mm outboard and ${offset_aft_mm} mm rearward of the original mount`;
    return `${cornerName(corner)} camber ${camber_deg} deg, caster ${caster_deg} deg, ${place}`;
}

/** The same for corners that are told. */
async function toldCar(
    db: Database,
    {
        kit,
        chassis = null,
        index,
    }: { kit?: string | undefined; chassis?: string | null | undefined; index?: number | undefined },
    from: readonly GivenCorner[],
): Promise<Subject> {
    if (kit === undefined) throw new UserError(kitNeeded(await knownNames(db, 'kits', 'kit')), 'not_in_data');
    await requireKit(db, kit, chassis, index);
    return { chassis, kit, ahead: [], notes: [`As told: ${from.map(toldWords).join('; ')}.`] };
}

/** What has to be there before it can be asked. */
export const adviseNeeds = [
    'setting_problems',
    'placements',
    'plates',
    'present_corners',
    'car_doubts',
    'reader_noise',
    'pointer_errors',
];

/** The same for one question. */
export function adviseNeedsOf({ ask }: Pick<AdviseQuestion, 'ask'>): readonly string[] {
    return ask?.kind === 'back_to' ? [...adviseNeeds, ...historyNeeds, ...returnsNeeds] : adviseNeeds;
}

const problemRow = z.object({ corners: z.string() });

/** What the search over marks needs of the front corners that are asked about; empty where nothing can be searched. */
async function cornersOf(
    db: Database,
    question: AdviseQuestion,
    told: boolean,
    kit: string | undefined,
): Promise<Corners> {
    const [row] = await db.rows(
        problemRow,
        `select cast(to_json(corners) as varchar) as corners
        from setting_problems(
            case when $vehicle::varchar is null then []::varchar[] else [$vehicle::varchar] end, null::varchar, ${givenCorners},
            cast($targets::json as varchar[]), $kit::varchar
        )`,
        {
            vehicle: told ? null : question.vehicle!,
            given: givenParameter(
                told ? { ...question, corners: question.from!, kit: question.kit! } : undefined,
            ),
            targets: JSON.stringify(question.targets),
            kit: kit ?? null,
        },
    );
    return row === undefined ? [] : (JSON.parse(row.corners) as Corners);
}

/** The rows for one or two targets. */
function targetRows(corners: Corners, search: Search, units: ToeUnits, anyIndex: boolean): AskedRows {
    const rows = advisedSettings(normal, corners, search, units).map((row) =>
        advisedRow.parse({ ...row, asked: 'target', stopped_by: null, marks_alone: null }),
    );
    return { rows, notes: rows.length === 0 ? [] : adviseNotes(rows, anyIndex) };
}

function publishedRow(row: AdvisedRow, rules: ClassRules | null): AdviseRow {
    return adviseRow.parse({
        ...row,
        class: rules?.name ?? null,
        p_camber_over: overLimit(row, rules, 'camber'),
        p_caster_over: overLimit(row, rules, 'caster'),
        vehicle: row.vehicle === '' ? null : row.vehicle,
        words: settingWords(row),
    });
}

/**
 * Where to put the bearings: one row per target and front corner, and what a reader must know as sentences, of which `lead` are the answer
 * itself. Throws a
 * {@link UserError} when a name is not known or something that the answer needs is missing from the data.
 */
export async function advise(
    db: Database,
    question: AdviseQuestion,
): Promise<{ rows: AdviseRow[]; notes: string[]; lead: number }> {
    const { vehicle, targets, from = [], ask } = question;
    const told = from.length > 0;
    const car = told ? await toldCar(db, question, from) : await storedCar(db, question, vehicle!);
    for (const target of targets) await requireTarget(db, target, car.chassis);
    const search: Search = {
        step: question.step ?? 0.5,
        any_clocking: question.anyIndex ?? false,
        index: question.index ?? null,
        hand: question.hand ?? null,
    };
    const { threadPitch_mm, armLength_mm, bothThreads } = question;
    const units: ToeUnits = {
        diameter_mm: question.toeDiameter_mm ?? null,
        arm_mm: armLength_mm ?? null,
        turn_mm: threadPitch_mm === undefined ? null : threadPitch_mm * (bothThreads === true ? 2 : 1),
    };
    const rules = question.class === undefined ? null : await classRules(db, question.class, car.chassis);
    const cornersWith = (kit: string | undefined) => cornersOf(db, question, told, kit);
    const { rows, notes } =
        ask === undefined
            ? targetRows(await cornersWith(question.kit), search, units, search.any_clocking)
            : await askedRows(db, { ...question, ask: ruledAsk(ask, rules), search, units, cornersWith });
    const answers = Math.max(1, targets.length);
    const pointers = await pointerNotes(db, [...new Set(rows.map((row) => row.kit))]);
    const first = [...car.ahead, ...notes.slice(0, answers), ...classNotes(rows, rules)];
    return {
        rows: rows.map((row) => publishedRow(row, rules)),
        notes: [...first, ...notes.slice(answers), ...car.notes, ...pointers],
        lead: first.length,
    };
}
