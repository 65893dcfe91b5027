import { z } from 'zod';
import { fitted, sides, withToe } from '../../fixtures/physics/car.js';
import { anglesAt } from '../../fixtures/physics/corner.js';
import type { Random } from '../../fixtures/physics/random.js';
import type { Database } from '../../src/db/database.js';
import { type Field, goal, plate, putTo } from './measuredFields.js';

const answer = z.object({
    vehicle: z.string(),
    corner: z.enum(sides),
    target: z.string(),
    mark_1: z.number(),
    stay: z.boolean(),
    camber_low_deg: z.number(),
    camber_high_deg: z.number(),
    caster_low_deg: z.number(),
    caster_high_deg: z.number(),
    p_in_tolerance: z.number(),
});

interface Wanted {
    camber_deg: number;
    caster_deg: number;
    toe_deg: number;
    camber_tol_deg: number;
    caster_tol_deg: number;
}

/** What is advised of the cars of `fields` for each of `targets`, and their true angles once they are set so; `random` sets the pointers. */
export async function advisedFields(
    db: Database,
    fields: readonly Field[],
    random: Random,
    targets: readonly string[] = [goal.target],
) {
    const cars = new Map(fields.flatMap((field) => field.cars.map((car) => [car.vehicle, car])));
    const rows = await db.rows(
        answer,
        `select ${Object.keys(answer.shape).join(', ')} from advised(
            (select list(distinct vehicle) from present_corners), null, ['${targets.join("', '")}'],
            null::varchar, null::integer, null::varchar, 0.5::double, false, null::double
        ) order by vehicle, corner, target`,
    );
    return rows.map((row) => {
        const wanted = fields[0]!.targets.find(({ target }) => target === row.target)! as unknown as Wanted;
        const front = cars.get(row.vehicle)!.fronts[row.corner];
        const place = { ...front.place, mark_1: row.mark_1 };
        const set = row.stay ? front : putTo(fitted(front, plate, front.place), place, random);
        const { camber_deg, caster_deg } = anglesAt(set.corner, withToe(set, wanted.toe_deg).state);
        return {
            vehicle: row.vehicle,
            camberHeld: camber_deg >= row.camber_low_deg && camber_deg <= row.camber_high_deg,
            casterHeld: caster_deg >= row.caster_low_deg && caster_deg <= row.caster_high_deg,
            camberLength: row.camber_high_deg - row.camber_low_deg,
            p: row.p_in_tolerance,
            hit:
                Math.abs(camber_deg - wanted.camber_deg) <= wanted.camber_tol_deg &&
                Math.abs(caster_deg - wanted.caster_deg) <= wanted.caster_tol_deg,
        };
    });
}
