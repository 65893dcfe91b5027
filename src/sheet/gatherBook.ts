import { createHash } from 'node:crypto';
import { z } from 'zod';
import { readings } from '../contracts/readings.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { outOfRange } from '../errors/loadMessages.js';
import { programName } from '../errors/programName.js';
import { noCarForSheet } from '../errors/sheetMessages.js';
import { checks } from '../model/checks.js';
import { givenCorners } from '../model/settingQuestion.js';
import { buildStamp } from '../report/buildStamp.js';
import { counted } from '../report/format.js';
import { chiSquareQuantile } from '../stats/chiSquare.js';
import type { Corner } from '../stats/settings/problem.js';
import { type Book, type Car, type Chassis, type Fit, phaseNames, type Reader, type State } from './book.js';
import { numberColumns } from './record.js';

/** Which cars a sheet is for; nothing given = the newest of all. */
export interface SheetChoice {
    vehicles: readonly string[];
    chassis?: string | undefined;
    kit?: string | undefined;
}

/** Most cars of a sheet, and most states of each corner, newest first. */
const MOST_CARS = 200;
const MOST_STATES = 24;
/** Most gauges and people to choose from, those with the most readings first. */
const MOST_READERS = 80;

const chosenCars = `select vehicle, arg_max(chassis, measured_ts) as chassis
    from present_corners
    where (len(cast($vehicles::json as varchar[])) = 0 or vehicle in (select unnest(cast($vehicles::json as varchar[]))))
        and ($chassis::varchar is null or chassis = $chassis)
    group by vehicle
    having $kit::varchar is null or bool_or(kit = $kit)
    order by max(measured_ts) desc nulls last, vehicle
    limit ${MOST_CARS}`;

const text = z.string().nullable();
const number = z.number().nullable();
const stateRow = z.object({
    vehicle: z.string(),
    corner: z.enum(['FL', 'FR', 'RL', 'RR']),
    visit: z.string(),
    phase: z.enum(phaseNames as ['before', 'moved', 'after']),
    read_on: text,
    kit: text,
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    mark_1: number,
    mark_2: number,
    offset_out_mm: number,
    offset_aft_mm: number,
    read_error_oo_mm2: number,
    read_error_oa_mm2: number,
    read_error_aa_mm2: number,
    camber_deg: number,
    camber_count: z.int(),
    caster_deg: number,
    caster_count: z.int(),
    toe_deg: number,
    toe_count: z.int(),
    sai_deg: number,
    sai_count: z.int(),
    mounting_count: z.number(),
    gauge: text,
    technician: text,
});

const carStates = `select ${Object.keys(stateRow.shape)
    .join(', ')
    .replace('read_on', "strftime(measured_ts, '%Y-%m-%d') as read_on")
    .replaceAll(/read_error_.._mm2/g, '$& * coalesce(variance_ratio, 1) as $&')}
    from states
    left join pointer_errors using (kit)
    where vehicle in (select unnest(cast($vehicles::json as varchar[])))
    qualify row_number() over (
        partition by vehicle, corner order by place_in_time(ordered_ts, visit, phase_order) desc
    ) <= ${MOST_STATES}
    order by vehicle, place_in_time(ordered_ts, visit, phase_order) desc, corner`;

const allReaders = `select reader, readers.gauge, readers.technician, cast(to_json(worths) as varchar) as worths
    from (
        select
            reader,
            {
                'camber': any_value(worth) filter (where response = 'camber_deg'),
                'caster': any_value(worth) filter (where response = 'caster_deg'),
                'toe': any_value(worth) filter (where response = 'toe_deg'),
                'sai': any_value(worth) filter (where response = 'sai_deg')
            } as worths
        from reading_worths()
        group by reader
    )
    left join readers using (reader)
    order by
        reader <> 0,
        coalesce(camber_reading_count + caster_reading_count + toe_reading_count + sai_reading_count, 0) desc,
        readers.gauge,
        readers.technician
    limit ${MOST_READERS}`;

/** A corner of each chassis on a plate of the kit, as if it had been told: what the search would get for it. */
const kitProblems = `select cast(to_json(corners) as varchar) as corners
    from setting_problems([]::varchar[], null::varchar, ${givenCorners}, cast($targets::json as varchar[]), $kit::varchar)`;

const usualCorners = `select chassis, camber_deg, camber_var_deg2, caster_deg, caster_var_deg2
    from chassis_corners where chassis in (select unnest(cast($chassis::json as varchar[])))`;

const mostNamed = `select target as name from readings semi join targets using (target)
    group by target order by count(*) desc, target limit 1`;

/** The queries that a sheet asks. */
export const sheetNeeds = [chosenCars, carStates, allReaders, kitProblems, usualCorners, 'targets', 'kits'];

function stateOf(row: z.infer<typeof stateRow>): State {
    const { corner, visit, phase, kit, plate_hand, plate_index, mark_1, mark_2, gauge, technician } = row;
    const { offset_out_mm: out_mm, offset_aft_mm: aft_mm } = row;
    const [oo, oa, aa] = [row.read_error_oo_mm2, row.read_error_oa_mm2, row.read_error_aa_mm2];
    return {
        ...{ corner, visit, phase, on: row.read_on, kit, plate_hand, plate_index, mark_1, mark_2 },
        place: out_mm === null || aft_mm === null ? null : { out_mm, aft_mm },
        read_error: oo === null || oa === null || aa === null ? null : { oo, oa, aa },
        read: {
            camber: { deg: row.camber_deg, count: row.camber_count },
            caster: { deg: row.caster_deg, count: row.caster_count },
            toe: { deg: row.toe_deg, count: row.toe_count },
            sai: { deg: row.sai_deg, count: row.sai_count },
        },
        mountings: row.mounting_count,
        ...{ gauge, technician },
    };
}

const readerRow = z.object({ gauge: text, technician: text, worths: z.string() });
const usualRow = z.object({
    chassis: z.string(),
    camber_deg: number,
    camber_var_deg2: number,
    caster_deg: number,
    caster_var_deg2: number,
});
const named = z.object({ name: z.string() });

async function namesOf(db: Database, query: string): Promise<string[]> {
    return (await db.rows(named, query)).map(({ name }) => name);
}

/** Slopes, goals and plates of each chassis, as sql/questions/120 gathers them for `advise`. */
async function problemsOf(
    db: Database,
    codes: readonly string[],
    kits: readonly string[],
    targets: readonly string[],
) {
    const known = new Map<string, Pick<Chassis, 'chassis' | 'slopes' | 'goals'>>();
    const fits: Fit[] = [];
    const given = codes.map((chassis) => ({
        vehicle: chassis,
        chassis,
        corner: 'FL',
        offset_out_mm: 0,
        offset_aft_mm: 0,
    }));
    for (const kit of kits) {
        const found = await db.rows(z.object({ corners: z.string() }), kitProblems, {
            given: JSON.stringify(given),
            targets: JSON.stringify(targets),
            kit,
        });
        for (const row of found) {
            const [{ chassis, slopes, goals, plate }] = JSON.parse(row.corners) as [Corner];
            known.set(chassis!, { chassis: chassis!, slopes, goals: [...goals] });
            fits.push({ kit, chassis: chassis!, plate });
        }
    }
    return { known, fits };
}

const shortHash = (value: unknown) =>
    createHash('sha256').update(JSON.stringify(value)).digest('hex').slice(0, 16);

/** What a sheet for `choice` knows. Throws a {@link UserError} where no car is chosen. */
export async function gatherBook(db: Database, choice: SheetChoice, served: boolean): Promise<Book> {
    const asked = {
        vehicles: JSON.stringify(choice.vehicles),
        chassis: choice.chassis ?? null,
        kit: choice.kit ?? null,
    };
    const chosen = await db.rows(z.object({ vehicle: z.string(), chassis: z.string() }), chosenCars, asked);
    if (chosen.length === 0) throw new UserError(noCarForSheet(), 'not_in_data');
    const rows = await db.rows(stateRow, carStates, {
        vehicles: JSON.stringify(chosen.map(({ vehicle }) => vehicle)),
    });
    const cars = chosen
        .map(
            (car): Car => ({
                ...car,
                states: rows.filter(({ vehicle }) => vehicle === car.vehicle).map(stateOf),
            }),
        )
        .sort((a, b) => (a.vehicle < b.vehicle ? -1 : 1));
    const codes = [...new Set(cars.map(({ chassis }) => chassis))].sort();
    const targets = await namesOf(db, 'select distinct target as name from targets order by name');
    const kits = await namesOf(db, 'select distinct kit as name from kits order by name');
    const { known, fits } = await problemsOf(db, codes, kits, targets);
    const usual = await db.rows(usualRow, usualCorners, { chassis: JSON.stringify(codes) });
    const usualOf = (chassis: string, angle: 'camber' | 'caster') => {
        const row = usual.find((one) => one.chassis === chassis);
        const [deg, var_deg2] = [row?.[`${angle}_deg`] ?? null, row?.[`${angle}_var_deg2`] ?? null];
        return deg === null || var_deg2 === null ? null : { deg, var_deg2 };
    };
    const readers = (await db.rows(readerRow, allReaders)).map(
        ({ gauge, technician, worths }): Reader => ({ gauge, technician, worth: JSON.parse(worths) }),
    );
    const distinct = (values: readonly (string | null)[]) =>
        [...new Set(values.filter((value) => value !== null))].sort();
    const [aim] = await namesOf(db, mostNamed);
    const { version, reading_count, load_count } = await buildStamp(db);
    const [first] = await db.cells(
        'select sha256, loaded_at::varchar as loaded_at from loads order by load_id limit 1',
    );
    return {
        // What waits for a server is for whichever database it serves.
        book: served ? 'served' : shortHash(first ?? null),
        sheet: shortHash([[...choice.vehicles].sort(), choice.chassis ?? null, choice.kit ?? null]),
        served,
        program: programName(),
        made: `${counted(reading_count, 'reading')} in ${counted(load_count, 'load')}, Strutmark ${version}`,
        cars,
        chassis: [...known.values()].map((one) => ({
            ...one,
            usual: { camber: usualOf(one.chassis, 'camber'), caster: usualOf(one.chassis, 'caster') },
        })),
        fits,
        kits: distinct([...kits, ...rows.map(({ kit }) => kit)]),
        targets,
        aim: aim ?? targets[0] ?? '',
        gauges: distinct(readers.map(({ gauge }) => gauge)),
        technicians: distinct(readers.map(({ technician }) => technician)),
        readers,
        columns: Object.fromEntries(
            numberColumns.map((name) => {
                const { min, max, unit } = readings.columns.find((column) => column.name === name)!;
                return [name, { min: min!, max: max!, beyond: outOfRange(min, max, unit) }];
            }),
        ),
        name: nameForm(),
        order: readings.names,
        checks: Object.fromEntries(checks().map(({ name, title, likely }) => [name, { title, likely }])),
        spread: Array.from({ length: 9 }, (_, i) => chiSquareQuantile(0.99, i + 1)),
    };
}

function nameForm(): Book['name'] {
    const { pattern, maxLength } = readings.columns.find(({ name }) => name === 'vehicle')!;
    return { pattern: pattern!, length: maxLength! };
}
