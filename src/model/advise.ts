import { type AdviseRow, adviseRow } from '../contracts/results/advise.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { indexUnknown, kitNeeded, noKitFitted } from '../errors/messages.js';
import { cornerName } from '../units/cornerName.js';
import { settingWords } from '../units/settingWords.js';
import { type AdvisedRow, advisedRow } from './advisedRow.js';
import { adviseNotes } from './adviseNotes.js';
import type { GivenCorner } from './givenCorner.js';
import { knownNames } from './names.js';
import { presentCar, startNotes } from './presentCar.js';
import { givenCorners, givenParameter, placeOf, requireKit, requireTarget } from './settingQuestion.js';

export interface AdviseQuestion {
    /** Car whose readings are asked about; with `from` only a name. */
    vehicle?: string | undefined;
    /** One or two names. */
    targets: readonly string[];
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
    /** Corners told instead of stored readings, and the chassis that they belong to. */
    from?: readonly GivenCorner[] | undefined;
    chassis?: string | undefined;
}

interface Subject {
    chassis: string | null;
    kit: string;
    /** What the answer starts from, and why that may be wrong. */
    notes: string[];
}

/** Checks that the stored corners of `vehicle` can be asked about. */
async function storedCar(db: Database, question: AdviseQuestion, vehicle: string): Promise<Subject> {
    const corners = await presentCar(db, vehicle);
    for (const row of corners) {
        const kit = question.kit ?? row.kit;
        if (kit === null) throw new UserError(noKitFitted(vehicle, await knownNames(db, 'kits', 'kit')));
        await requireKit(db, kit, row.chassis, question.index);
        const open = question.index !== undefined || question.anyIndex === true || kit !== row.kit;
        if (row.plate_index === null && !open) throw new UserError(indexUnknown(row.corner, placeOf(row)));
    }
    const [first] = corners;
    return {
        chassis: first!.chassis,
        kit: question.kit ?? first!.kit!,
        notes: await startNotes(db, vehicle, corners),
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
    if (kit === undefined) throw new UserError(kitNeeded(await knownNames(db, 'kits', 'kit')));
    await requireKit(db, kit, chassis, index);
    return { chassis, kit, notes: [`As told: ${from.map(toldWords).join('; ')}.`] };
}

/** What has to be there before it can be asked. */
export const adviseNeeds = ['advised', 'placements', 'plates', 'present_corners', 'car_doubts'];

/**
 * Where to put the bearings: one row per target and front corner, and what a reader must know as sentences. Throws a
 * {@link UserError} when a name is not known or something that the answer needs is missing from the data.
 */
export async function advise(
    db: Database,
    question: AdviseQuestion,
): Promise<{ rows: AdviseRow[]; notes: string[] }> {
    const { vehicle, targets, from = [] } = question;
    const told = from.length > 0;
    const car = told ? await toldCar(db, question, from) : await storedCar(db, question, vehicle!);
    for (const target of targets) await requireTarget(db, target, car.chassis);
    const rows: AdvisedRow[] = await db.rows(
        advisedRow,
        `select ${Object.keys(advisedRow.shape).join(', ')}
        from advised(
            case when $vehicle::varchar is null then []::varchar[] else [$vehicle::varchar] end, ${givenCorners}, cast($targets::json as varchar[]),
            $kit::varchar, $index::integer, $hand::varchar, $step::double, $any_index::boolean, $toe_diameter::double
        )
        order by target_order, corner`,
        {
            vehicle: told ? null : vehicle!,
            given: givenParameter(told ? { ...question, corners: from, kit: car.kit } : undefined),
            targets: JSON.stringify(targets),
            kit: question.kit ?? null,
            index: question.index ?? null,
            hand: question.hand ?? null,
            step: question.step ?? 0.5,
            any_index: question.anyIndex ?? false,
            toe_diameter: question.toeDiameter_mm ?? null,
        },
    );
    return {
        rows: rows.map((row) =>
            adviseRow.parse({
                ...row,
                vehicle: row.vehicle === '' ? null : row.vehicle,
                words: settingWords(row),
            }),
        ),
        notes: [...adviseNotes(rows, question.anyIndex === true), ...car.notes],
    };
}
