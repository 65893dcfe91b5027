import { z } from 'zod';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';
import { percent } from '../units/percent.js';
import { plain } from '../units/plain.js';
import { limitWords, ruleRow } from './classRules.js';
import { requireName } from './names.js';

const shareRow = ruleRow.omit({ chassis: true }).extend({
    chassis: z.string(),
    corner_count: z.int(),
    vehicle_count: z.int(),
    share: z.number(),
    conf_low: z.number(),
    conf_high: z.number(),
});

const sharesQuery = `with
    rule as (
        select rules.chassis, angle, low_deg, high_deg, measured,
            coalesce(power(gauge_uncertainty_deg, 2), one_var_deg2 + set_up_var_deg2 + bias_var_deg2) as var_deg2
        from rules
        inner join reader_noise on reader_noise.reader = 0 and reader_noise.response = rules.angle || '_deg'
        where class = $name
    ),
    present as (
        select vehicle, chassis, unnest([
            {'angle': 'camber', 'deg': camber_deg, 'count': camber_count, 'reader': camber_reader, 'ts': camber_ts},
            {'angle': 'caster', 'deg': caster_deg, 'count': caster_count, 'reader': caster_reader, 'ts': caster_ts}
        ], recursive := true)
        from present_corners
        where $chassis::varchar is null or chassis = $chassis
    ),
    judged as (
        select
            present.vehicle,
            present.chassis,
            rule.* exclude (chassis),
            bias_var_then(bias_var_deg2, walk, ts) as bias_var,
            deg - coalesce(bias_deg + walked(walk, weeks_of(ts)), 0) as true_deg,
            sqrt(
                true_var(one_var_deg2, shared_var_deg2, count, set_up_var_deg2, bias_var) + rule.var_deg2
            ) as u_deg,
            coalesce(normal_cdf((low_deg - true_deg) / u_deg), 0)
                + coalesce(normal_cdf((true_deg - high_deg) / u_deg), 0) as p_over
        from present
        inner join rule on rule.angle = present.angle and coalesce(rule.chassis = present.chassis, true)
        inner join reader_noise
            on reader_noise.reader = present.reader and reader_noise.response = present.angle || '_deg'
        where deg is not null
        qualify rule.chassis is not null or count(rule.chassis) over (partition by present.chassis, rule.angle) = 0
    ),
    cars as (
        select chassis, angle, vehicle, any_value(low_deg) as low_deg, any_value(high_deg) as high_deg,
            any_value(measured) as measured, any_value(var_deg2) as var_deg2, count(*) as corner_count,
            exact_sum(p_over) / count(*) as p_over
        from judged
        group by chassis, angle, vehicle
    ),
    shares as (
        select chassis, angle, any_value(low_deg) as low_deg, any_value(high_deg) as high_deg,
            any_value(measured) as measured, any_value(var_deg2) as var_deg2,
            cast(sum(corner_count) as bigint) as corner_count, count(*) as vehicle_count,
            least(exact_sum(p_over) / count(*), 1) as share
        from cars
        group by chassis, angle
    )
    select *,
        beta_quantile(0.025, share * vehicle_count + 0.5, (1 - share) * vehicle_count + 0.5) as conf_low,
        beta_quantile(0.975, share * vehicle_count + 0.5, (1 - share) * vehicle_count + 0.5) as conf_high
    from shares
    order by chassis, angle`;

/** What has to be there before it can be asked. */
export const classShareNeeds = [sharesQuery];

/**
 * Of the front corners of each chassis as last read, the share that an inspector's gauge would read over the limits of class `name`: mean
 * over cars of the probability that the true angle and a reading of it, both normal, lie beyond. Interval: Jeffreys, each car one trial,
 * because its fronts are not independent (Brown, Cai and DasGupta 2001, Statistical Science 16, 101-133).
 */
export async function classShares(
    db: Database,
    name: string,
    { chassis }: { chassis?: string | undefined },
): Promise<string[]> {
    await requireName(db, 'rules', 'class', name);
    const rows = await db.rows(shareRow, sharesQuery, { name, chassis: chassis ?? null });
    const told = rows.map((row) => {
        const how = row.measured === null ? '' : `, ${row.measured}`;
        const by = `gauge good to ${plain(Math.sqrt(row.var_deg2), 2)} deg${how}`;
        return `${row.chassis} ${row.angle}, ${limitWords(row, row.angle)} (${by}): ${percent(row.share)} of ${counted(row.corner_count, 'front corner')} of ${counted(row.vehicle_count, 'car')} (95 % interval ${percent(row.conf_low)} to ${percent(row.conf_high)})`;
    });
    return [
        told.length === 0
            ? `Class ${name} has no rule for an angle that was read of these cars.`
            : `What an inspector's gauge would read over the limits of class ${name}, as the cars were read last: ${told.join('; ')}.`,
    ];
}
