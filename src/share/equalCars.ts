import { z } from 'zod';
import { responses } from '../contracts/results/result.js';
import { shareKinds } from '../contracts/share.js';
import { type Database, identifier } from '../db/database.js';

/** A car that was shared before under another pseudonym. */
const equalCar = z.object({
    site: z.string(),
    vehicle: z.string(),
    /** The first of the equal cars, in the order of the sites. */
    first_site: z.string(),
    first_vehicle: z.string(),
});
type EqualCar = z.infer<typeof equalCar>;

/** Fewest moves of an angle that tell a car from another one. */
const FEWEST_MOVES = 3;

/** Most cars of the field that may be expected to have all moves of a car by chance. */
const BY_CHANCE = 0.01;

/** Columns that say what was measured, whatever the site calls the car, the row and the gauge. */
function contentOf(kind: 'move' | 'state'): string {
    const { columns } = shareKinds.find((one) => one.kind === kind)!;
    return columns
        .map(({ name }) => name)
        .filter((name) => !['vehicle', 'number', 'gauge'].includes(name))
        .map(identifier)
        .join(', ');
}

/**
 * Cars of table `shared` whose moves, three or more of an angle, are those of another pseudonym with the same angles to the last
 * digit; `sites` in the order of the files. Displays of 0.1 deg make cars equal by chance too: the chance that another car has the moves
 * of this one is multinomial, with the share that a move has of those of its chassis, corner and angle (less 1/2, of one more; pairs of
 * one visit count by their weight). Cars of whose kind the field may hold 0.01 or more by chance are left alone.
 */
export async function equalCars(db: Database, sites: readonly string[]): Promise<EqualCar[]> {
    const most = responses.map((response) => `count(*) filter (where response = '${response}')`);
    return db.rows(
        equalCar,
        `with
        moves as (
            select site, vehicle, chassis, corner, response, least(weight, 1) as weight, hash(${contentOf('move')}) as content
            from shared
            where kind = 'move'
        ),
        cars as (
            select
                site,
                vehicle,
                list_position(cast($sites::json as varchar[]), site) as turn,
                greatest(${most.join(', ')}) as move_count,
                {'count': count(*), 'sum': sum(cast(content as hugeint))} as moved
            from moves
            group by site, vehicle
        ),
        -- One pseudonym stands for all that are equal.
        different as (
            select moved, min(move_count) as move_count, count(*) as car_count, arg_min({'site': site, 'vehicle': vehicle}, (turn, vehicle)) as first
            from cars
            group by moved
        ),
        held as (
            select moved, chassis, corner, response, content, weight, count(*) as times
            from moves
            semi join different on different.first.site = moves.site and different.first.vehicle = moves.vehicle
            inner join cars using (site, vehicle)
            group by moved, chassis, corner, response, content, weight
        ),
        shares as (
            select
                *,
                (sum(times) over (partition by chassis, content) - 0.5)
                    / (sum(times) over (partition by chassis, corner, response) + 1) as row_share
            from held
        ),
        chances as (
            select
                moved,
                chassis,
                lgamma(sum(times) + 1) - sum(lgamma(times + 1)) + sum(times * weight * ln(row_share)) as log_chance
            from shares
            group by moved, chassis, corner, response
        ),
        chassis_cars as (
            select chassis, count(distinct moved) as car_count from held group by chassis
        ),
        equal as (
            select different.moved, any_value(first) as first
            from different
            inner join chances using (moved)
            inner join chassis_cars using (chassis)
            where different.car_count > 1 and different.move_count >= ${FEWEST_MOVES}
            group by different.moved
            having ln(max(chassis_cars.car_count)) + sum(log_chance) < ln(${BY_CHANCE})
        )
        select site, vehicle, first.site as first_site, first.vehicle as first_vehicle
        from cars
        inner join equal using (moved)
        where not (site = first.site and vehicle = first.vehicle)
        order by turn, vehicle`,
        { sites: JSON.stringify(sites) },
    );
}

const copy = z.object({ site: z.string(), of_site: z.string() });

/** Sites all of whose cars stand, with the same moves and states, in one other site too. */
async function copies(db: Database): Promise<z.infer<typeof copy>[]> {
    return db.rows(
        copy,
        `with
        measured as (
            select site, vehicle, hash(kind, ${contentOf('move')}) as content from shared where kind = 'move'
            union all
            select site, vehicle, hash(kind, ${contentOf('state')}) as content from shared where kind = 'state'
        ),
        cars as (
            select site, vehicle, {'count': count(*), 'sum': sum(cast(content as hugeint))} as read
            from measured
            group by site, vehicle
        ),
        counted as (
            select site, read, count(*) as car_count from cars group by site, read
        ),
        sites as (
            select site, count(*) as kind_count from counted group by site
        )
        select one.site, other.site as of_site
        from counted as one
        inner join counted as other on other.read = one.read and other.site <> one.site and other.car_count >= one.car_count
        inner join sites on sites.site = one.site
        group by one.site, other.site
        having count(*) = any_value(kind_count)`,
    );
}

/**
 * Leaves in table `shared` one of each of the equal `cars`. A site all of whose cars stand in another one goes whole, and with it what
 * its gauges tell; else the later of two equal cars goes.
 */
export async function countOnce(
    db: Database,
    cars: readonly EqualCar[],
    sites: readonly string[],
): Promise<void> {
    const found = await copies(db);
    const gone = new Set<string>();
    for (const site of sites.toReversed()) {
        const isTold = cars.some((car) => car.site === site || car.first_site === site);
        if (isTold && found.some((one) => one.site === site && !gone.has(one.of_site))) gone.add(site);
    }
    for (const site of gone) await db.run('delete from shared where site = $site', { site });
    await db.run(
        `delete from shared
        using (select unnest(from_json($cars, '[{"site": "varchar", "vehicle": "varchar"}]'), recursive := true)) as again
        where shared.site = again.site and shared.vehicle = again.vehicle`,
        { cars: JSON.stringify(await equalCars(db, sites)) },
    );
}
