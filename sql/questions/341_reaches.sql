-- Half-length of slot that each front corner asks of each kit, bolt position and hand: one row per corner, target, kit, index and
-- hand. own: the plate of the corner's own side. asked_*: NULL = all. half_length_mm: what the first scale of the kit has.
-- variants: list of what to change, each a struct of name and value (to tell them apart), need_out and need_aft (shift of all needs,
-- in standard errors that the slopes bring), centre_out_mm and centre_aft_mm (shift of the plate's centre at index 1) and turn_deg
-- (turn of its slot). Where there are several, some 2,000 corners of a chassis stand for more in all but the first.
create or replace temp macro reaches(asked_chassis, asked_kit, asked_target, variants) as table
with
slopes_of as (
    select
        chassis,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft}) filter (where response = 'camber_deg') as camber,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft}) filter (where response = 'caster_deg') as caster
    from sensitivities
    where chassis is not null
    group by chassis
),
wanted as (
    select
        goals.chassis,
        goals.target,
        {'slope_out': camber.slope_out, 'slope_aft': camber.slope_aft, 'tol': case when goal_camber_deg is not null then camber_tol_deg end}
            as camber,
        {'slope_out': caster.slope_out, 'slope_aft': caster.slope_aft, 'tol': case when goal_caster_deg is not null then caster_tol_deg end}
            as caster
    from goals
    inner join slopes_of on slopes_of.chassis = goals.chassis
    where (asked_chassis is null or goals.chassis = asked_chassis)
        and (asked_target is null or goals.target = asked_target)
        and coalesce(
            case when goal_camber_deg is not null then camber_tol_deg end, case when goal_caster_deg is not null then caster_tol_deg end
        ) is not null
),
fitting as (
    select wanted.*, plates.* exclude (chassis)
    from wanted
    inner join plates on plates.chassis = wanted.chassis or plates.chassis is null
    where (asked_kit is null or plates.kit = asked_kit) and mark_min < mark_max
    qualify row_number() over (partition by wanted.chassis, wanted.target, plates.kit order by plates.chassis nulls last) = 1
),
varied as (
    select
        fitting.* replace (
            axis_deg + variant.turn_deg as axis_deg,
            fitting.centre_out_mm + variant.centre_out_mm as centre_out_mm,
            fitting.centre_aft_mm + variant.centre_aft_mm as centre_aft_mm
        ),
        variant,
        place
    from fitting
    cross join (select unnest(variants) as variant, generate_subscripts(variants, 1) as place)
),
clocked as (
    select
        varied.*,
        plate_index,
        own,
        (plate_index - 1) * index_step_deg as turn_deg
    from varied
    cross join (select unnest(range(1, 13)) as plate_index) as indices
    cross join (select unnest([true, false]) as own) as hands
    where plate_index <= index_count
),
slots as (
    select
        *,
        plate_offset(
            (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm, turn_deg, not own
        ) as middle,
        slot_direction(axis_deg, turn_deg, own) as slot,
        side_direction(axis_deg, turn_deg, own) as across,
        pitch_mm * (mark2_max - mark2_min) / 2 as side_mm
    from clocked
),
slope_errors as (
    select
        chassis,
        target,
        max(corner_count) as corner_count,
        coalesce(max(sd_slopes_mm) filter (where axis = 'out'), 0) as out_mm,
        coalesce(max(sd_slopes_mm) filter (where axis = 'aft'), 0) as aft_mm
    from needed_spreads
    group by chassis, target
),
points as (
    select
        need_points.*,
        slope_errors.out_mm as error_out_mm,
        slope_errors.aft_mm as error_aft_mm,
        hash(vehicle) % greatest(corner_count // 2000, 1) = 0 as sampled
    from need_points
    inner join slope_errors using (chassis, target)
),
asked as (
    select
        variant.name as variant,
        variant.value as variant_value,
        points.* exclude (error_out_mm, error_aft_mm, sampled),
        kit,
        plate_index,
        own,
        pitch_mm,
        slot,
        middle,
        {'out': across.out * side_mm, 'aft': across.aft * side_mm} as side,
        camber,
        caster,
        pitch_mm * (mark_max - mark_min) / 2 as half_length_mm,
        required_half_length(
            {'out': out_mm + variant.need_out * error_out_mm, 'aft': aft_mm + variant.need_aft * error_aft_mm},
            {'out': middle.out_mm, 'aft': middle.aft_mm}, slot,
            {'out': across.out * side_mm, 'aft': across.aft * side_mm}, camber, caster
        ) as required_mm
    from points
    inner join slots using (chassis, target)
    where place = 1 or sampled
)
select
    *,
    required_mm <= half_length_mm + 1e-9 as reached
from asked;
