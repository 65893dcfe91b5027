import { expect, test } from 'vitest';
import { z } from 'zod';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, randomPlace, slantedPlate, twoScales } from '../../fixtures/physics/kits.js';
import { Random } from '../../fixtures/physics/random.js';
import { readings } from '../../src/contracts/readings.js';
import { type AdviseRow, adviseRow } from '../../src/contracts/results/advise.js';
import type { Database } from '../../src/db/database.js';
import { advise, adviseNeeds } from '../../src/model/advise.js';
import { ensureModel } from '../../src/model/build.js';
import { answerOf } from '../../src/sheet/answer.js';
import type { Car, Phase } from '../../src/sheet/book.js';
import { gatherBook, sheetNeeds } from '../../src/sheet/gatherBook.js';
import { statesOf } from '../../src/sheet/present.js';
import { csvOf, type Row, type TypedColumn, type Visit } from '../../src/sheet/record.js';
import { normal } from '../../src/stats/settingFunctions.js';
import { advisedSettings } from '../../src/stats/settings/advisedSettings.js';
import type { Corners } from '../../src/stats/settings/problem.js';
import { insertRows, modelOf, stateOf } from '../support/memory.js';

const plates = [onePlate, twoScales, slantedPlate];
const targets = [
    {
        target: 'street',
        camber_deg: -1,
        camber_tol_deg: 0.2,
        caster_deg: 7,
        caster_tol_deg: 0.7,
        toe_deg: 0.05,
        toe_tol_deg: 0.05,
    },
    { target: 'track', camber_deg: -2.2, camber_tol_deg: 0.15, cross_camber_max_deg: 0.2 },
    { target: 'odd', camber_deg: -2 },
];
/** Of a kind of car in 3 of 100 on which the two differ, one is among them in 95 of 100 such fields. */
const perDesign = 25;
const fleet = simulateFleet({
    seed: 41,
    designs: designs.slice(0, 4),
    vehicles: perDesign,
    visits: 2,
    plates,
    otherHandShare: 0.2,
});

/** A visit as somebody might type it: some states, some angles, repeats, now and then by another gauge, a kit or nothing. */
function typedVisit(car: Car, random: Random): { visit: Visit; rows: Row[] } {
    const visit: Visit = {
        id: `typed ${car.vehicle}`,
        vehicle: car.vehicle,
        chassis: car.chassis,
        visit_kind: 'adjust',
        session: '',
        target: 'street',
        gauge: 'rack A',
        technician: '',
        started_at: '2027-05-01T09:00:00',
    };
    const rows = (['before', 'moved', 'after'] as Phase[]).flatMap((phase, p) =>
        (['FL', 'FR'] as const).flatMap((corner): Row[] => {
            if (random.chance(0.3)) return [];
            const [stored] = car.states.filter((state) => state.corner === corner);
            const plate = random.chance(0.9)
                ? plates.find(({ kit }) => kit === stored!.kit)!
                : random.pick(plates);
            const kit = random.chance(0.1) ? '' : plate.kit;
            const stays = random.chance(0.3);
            const place = randomPlace(
                plate,
                random,
                random.chance(0.9) ? stored!.plate_index! : random.whole(1, 3),
                false,
            );
            const marks: Partial<Record<TypedColumn, string>> = stays
                ? {
                      plate_index: String(stored!.plate_index),
                      mark_1: String(stored!.mark_1),
                      mark_2: String(stored!.mark_2),
                  }
                : {
                      plate_index: String(place.index),
                      mark_1: String(place.mark_1),
                      mark_2: String(place.mark_2),
                  };
            if (plate.mark2_min === null) delete marks.mark_2;
            const gauges = random.chance(0.8)
                ? ['rack A']
                : random.pick([['nobody knows'], ['rack A', 'nobody knows'], ['']]);
            return Array.from({ length: random.whole(1, 3) }, (_, i): Row => {
                const typed = kit === '' ? {} : { ...marks };
                const angle = (column: TypedColumn, middle: number) => {
                    if (random.chance(0.8))
                        Object.assign(typed, { [column]: (middle + random.normal(0, 0.4)).toFixed(2) });
                };
                angle('camber_deg', -1.4);
                angle('caster_deg', 6.8);
                angle('toe_deg', 0.05);
                return {
                    visit: visit.id,
                    corner,
                    phase,
                    repeat: i + 1,
                    measured_at: `2027-05-01T09:${10 * p}${i}`,
                    kit,
                    plate_hand: kit === '' ? '' : (stored!.plate_hand ?? ''),
                    gauge: random.pick(gauges),
                    technician: '',
                    typed,
                    taken: '',
                    saved: '',
                };
            });
        }),
    );
    return { visit, rows };
}

/** The rows of a file of readings without quotes. */
function cellsOfCsv(csv: string): Record<string, string>[] {
    const [head, ...lines] = csv
        .trimEnd()
        .split('\n')
        .map((line) => line.split(','));
    return lines.map((line) => Object.fromEntries(head!.map((name, i) => [name, line[i]!])));
}

const printed = (rows: readonly object[]) =>
    rows.map((row) =>
        Object.fromEntries(
            Object.entries(row).map(([name, value]) => [
                name,
                typeof value === 'number' ? Number(value.toFixed(6)) + 0 : value,
            ]),
        ),
    );

const adviseColumns = Object.keys(adviseRow.shape).filter(
    (name) =>
        ![
            ...['words', 'asked', 'stopped_by', 'marks_alone', 'vehicle'],
            ...['class', 'p_camber_over', 'p_caster_over'],
        ].includes(name),
);
const asPublished = (rows: readonly object[]) =>
    printed(
        rows.map((row) =>
            Object.fromEntries(adviseColumns.map((name) => [name, (row as Record<string, unknown>)[name]])),
        ),
    );

/** What `advise` answers for all `vehicles` at once, by its own query and search. */
async function advisedAll(
    db: Database,
    vehicles: readonly string[],
    target: string,
): Promise<Map<string, AdviseRow[]>> {
    const rows = await db.rows(
        z.object({ vehicle: z.string(), corners: z.string() }),
        `select vehicle, cast(to_json(corners) as varchar) as corners
        from setting_problems(cast($vehicles::json as varchar[]), null::varchar, null, [$target], null::varchar)`,
        { vehicles: JSON.stringify(vehicles), target },
    );
    const search = { step: 0.5, any_clocking: false, index: null, hand: null };
    const units = { diameter_mm: null, arm_mm: null, turn_mm: null };
    return new Map(
        rows.map(({ vehicle, corners }) => {
            const told = (JSON.parse(corners) as Corners).filter(
                ({ offset_out_mm, camber, caster, plate_index }) =>
                    offset_out_mm !== null &&
                    plate_index !== null &&
                    (camber.deg !== null || caster.deg !== null),
            );
            return [vehicle, advisedSettings(normal, told, search, units) as unknown as AdviseRow[]];
        }),
    );
}

const kept = ['sensitivities', 'reader_noise', 'angle_priors', 'plates'];

test(`${4 * perDesign} random cars: the sheet answers as advise does, of what is stored and of what is typed`, async () => {
    const input = { readings: fleet.readings, kits: fleet.kits, targets };
    const needs = [...adviseNeeds, ...sheetNeeds];
    const db = await modelOf(input as never, 1, needs);
    try {
        const book = await gatherBook(db, { vehicles: [], chassis: undefined }, false);
        const cars = book.cars;
        expect(cars.length).toBe(4 * perDesign);
        expect(book.chassis[0]!.goals.map(({ target }) => target)).toEqual(['street', 'track']);
        const ask = (car: Car, target: string, visits: Visit[], rows: Row[]) =>
            answerOf(normal, book, statesOf(book, car.vehicle, visits, rows), {
                car,
                target,
                kit: null,
                anyIndex: false,
            }).rows;
        for (const car of cars.slice(0, 2)) {
            const { rows } = await advise(db, { vehicle: car.vehicle, targets: ['street'] });
            expect(asPublished(ask(car, 'street', [], []))).toEqual(asPublished(rows));
        }
        for (const target of ['street', 'track']) {
            const advised = await advisedAll(
                db,
                cars.map(({ vehicle }) => vehicle),
                target,
            );
            for (const car of cars) {
                expect(asPublished(ask(car, target, [], []))).toEqual(
                    asPublished(advised.get(car.vehicle) ?? []),
                );
            }
        }
        const random = new Random(77);
        const typed = cars.map((car) => ({ car, ...typedVisit(car, random) }));
        const visits = typed.map(({ visit }) => visit);
        const rows = typed.flatMap((one) => one.rows);
        const cells = cellsOfCsv(csvOf(book.order, visits, rows));
        expect(cells.length).toBeGreaterThan(cars.length);
        // The coefficients stay those of the file, what is typed goes through the tables.
        for (const name of kept) await db.run(`create table kept_${name} as select * from ${name}`);
        await insertRows(db, 'readings', cells, 2);
        await ensureModel(db, needs, stateOf({ readings: [...fleet.readings, ...cells] as never }));
        for (const name of kept) {
            await db.run(`delete from ${name}`);
            await db.run(`insert into ${name} select * from kept_${name}`);
        }
        let answered = 0;
        for (const target of ['street', 'track']) {
            const advised = await advisedAll(
                db,
                cars.map(({ vehicle }) => vehicle),
                target,
            );
            for (const { car } of typed) {
                const own = asPublished(ask(car, target, visits, rows));
                expect(own, car.vehicle).toEqual(asPublished(advised.get(car.vehicle) ?? []));
                answered += own.length;
            }
        }
        expect(answered).toBeGreaterThan(cars.length);
        expect(readings.columns.map(({ name }) => name)).toEqual(book.order);
    } finally {
        db.close();
    }
});
