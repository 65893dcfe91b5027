-- title: Readings that compare gauges and people
-- grain: one row per reading, or mean of the readings of a state, per part and angle; a part is something that did not change in between
-- source: placements, states, reading_noise, gauge_priors
-- missing: gauge and technician are NULL where not named
-- Two kinds of part. A state that was read more than once. And, for gauges or people that never met on one state, two consecutive
-- states of one corner at one setting, each the mean of one gauge and person: what differs between set-ups adds to their variance
-- (spread of such pairs with one gauge and one person, within and between visits, with four degrees of freedom of gauge_priors),
-- and pairs further apart than 4 of their standard deviations are left out, since something else happened in between.
-- column part VARCHAR: name of the part, unique per angle
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column read_deg DOUBLE [deg]: reading less the middle of the part
-- column weight DOUBLE: typical reading variance over the variance of this row
with
typical as (
    select response, sd_deg as typical_sd_deg from reading_noise where gauge is null
),
noises as (
    select gauge, response, sd_deg from reading_noise where gauge is not null
),
readings_long as (
    unpivot (
        select vehicle, corner, visit, phase, repeat, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from placements
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select
        vehicle || ' ' || corner || ' ' || visit || ' ' || phase as part,
        readings_long.response,
        readings_long.gauge,
        technician,
        read_deg,
        median(read_deg) over (partition by vehicle, corner, visit, phase, readings_long.response) as middle_deg,
        coalesce(sd_deg, typical_sd_deg) as sd_deg,
        power(typical_sd_deg, 2) as typical_var
    from readings_long
    inner join typical using (response)
    left join noises on noises.gauge = readings_long.gauge and noises.response = readings_long.response
    qualify count(*) over (partition by vehicle, corner, visit, phase, readings_long.response) > 1
),
-- A typing mistake among the repeats says nothing of a gauge.
sound as (
    select * from repeated where abs(read_deg - middle_deg) <= 6 * greatest(sd_deg, sqrt(typical_var))
),
ordered as (
    select
        *,
        coalesce(kit, '') || '/' || coalesce(plate_index, 0) || '/' || coalesce(round(offset_out_mm, 3), 99) || '/'
            || coalesce(round(offset_aft_mm, 3), 99) as place,
        row_number() over (partition by vehicle, corner order by measured_ts, visit, phase_order) as place_order
    from states
    where measured_ts is not null
),
neighbours as (
    select
        later.vehicle || ' ' || later.corner || ' ' || earlier.visit || ' ' || earlier.phase || ' to ' || later.visit || ' ' || later.phase as part,
        earlier.visit = later.visit as same_visit,
        earlier.gauge as gauge_1,
        later.gauge as gauge_2,
        earlier.technician as technician_1,
        later.technician as technician_2,
        unnest([
            {'response': 'camber_deg', 'read_1': earlier.camber_deg, 'read_2': later.camber_deg, 'n_1': earlier.camber_count, 'n_2': later.camber_count},
            {'response': 'caster_deg', 'read_1': earlier.caster_deg, 'read_2': later.caster_deg, 'n_1': earlier.caster_count, 'n_2': later.caster_count},
            {'response': 'toe_deg', 'read_1': earlier.toe_deg, 'read_2': case when not later.toe_reset then later.toe_deg end, 'n_1': earlier.toe_count, 'n_2': later.toe_count},
            {'response': 'sai_deg', 'read_1': earlier.sai_deg, 'read_2': later.sai_deg, 'n_1': earlier.sai_count, 'n_2': later.sai_count}
        ], recursive := true)
    from ordered as later
    inner join ordered as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.place_order = later.place_order - 1
        and earlier.place = later.place
    -- Where a state mixes gauges or people, its repeats tell.
    where earlier.gauge is not null and later.gauge is not null
),
differing as (
    select
        neighbours.*,
        read_2 - read_1 as gap_deg,
        typical_sd_deg * typical_sd_deg as typical_var,
        power(coalesce(first.sd_deg, typical_sd_deg), 2) / n_1 as var_1,
        power(coalesce(second.sd_deg, typical_sd_deg), 2) / n_2 as var_2,
        gauge_1 is distinct from gauge_2 or technician_1 is distinct from technician_2 as tells
    from neighbours
    inner join typical using (response)
    left join noises as first on first.gauge = gauge_1 and first.response = neighbours.response
    left join noises as second on second.gauge = gauge_2 and second.response = neighbours.response
    where read_1 is not null and read_2 is not null
),
set_ups as (
    select
        response,
        same_visit,
        (
            count(gap_deg) filter (where not tells)
                * greatest(
                    power(1.4826 * coalesce(median(abs(gap_deg)) filter (where not tells), 0), 2)
                        - coalesce(median(var_1 + var_2) filter (where not tells), 0),
                    0
                )
            + 4 * 2 * any_value(visit_sd_deg * visit_sd_deg)
        ) / (count(gap_deg) filter (where not tells) + 4) as gap_var
    from differing
    inner join gauge_priors using (response)
    group by response, same_visit
),
centred as (
    select
        differing.*,
        gap_var,
        abs(gap_deg - median(gap_deg) over (partition by response, gauge_1, gauge_2, technician_1, technician_2)) as off_deg
    from differing
    inner join set_ups using (response, same_visit)
    where tells
),
met as (
    select * from centred where off_deg <= 4 * sqrt(var_1 + var_2 + gap_var)
)
select part, response, gauge, technician, read_deg - middle_deg as read_deg, typical_var / power(sd_deg, 2) as weight
from sound
union all
select part, response, gauge_1 as gauge, technician_1 as technician, -gap_deg / 2 as read_deg, typical_var / (var_1 + gap_var / 2) as weight
from met
union all
select part, response, gauge_2 as gauge, technician_2 as technician, gap_deg / 2 as read_deg, typical_var / (var_2 + gap_var / 2) as weight
from met
