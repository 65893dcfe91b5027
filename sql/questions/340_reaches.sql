-- Half-length of slot that each front corner asks of each kit, bolt position and hand: one row per corner, target, kit, index and
-- hand. own: the plate of the corner's own side. asked_*: NULL = all. half_length_mm: what the first scale of the kit has.
-- shift_out, shift_aft: all needs shifted by so many standard errors that the slopes bring, to see what that does to the shares;
-- then some 2,000 corners stand for more.
create or replace temp macro reaches(asked_chassis, asked_kit, asked_target, shift_out, shift_aft) as table
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
clocked as (
    select
        fitting.*,
        plate_index,
        own,
        (plate_index - 1) * index_step_deg as turn_deg
    from fitting
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
        {
            'out': case when own then 1 else -1 end * cos(radians(axis_deg + turn_deg)),
            'aft': sin(radians(axis_deg + turn_deg))
        } as slot,
        {
            'out': case when own then -1 else 1 end * sin(radians(axis_deg + turn_deg)) * pitch_mm * (mark2_max - mark2_min) / 2,
            'aft': cos(radians(axis_deg + turn_deg)) * pitch_mm * (mark2_max - mark2_min) / 2
        } as side
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
        need_points.* replace (
            need_points.out_mm + shift_out * slope_errors.out_mm as out_mm,
            need_points.aft_mm + shift_aft * slope_errors.aft_mm as aft_mm
        )
    from need_points
    inner join slope_errors using (chassis, target)
    where (shift_out = 0 and shift_aft = 0) or hash(vehicle) % greatest(corner_count // 2000, 1) = 0
),
asked as (
    select
        points.*,
        kit,
        plate_index,
        own,
        pitch_mm,
        slot,
        middle,
        side,
        camber,
        caster,
        pitch_mm * (mark_max - mark_min) / 2 as half_length_mm,
        required_half_length(
            {'out': out_mm, 'aft': aft_mm}, {'out': middle.out_mm, 'aft': middle.aft_mm}, slot, side, camber, caster
        ) as required_mm
    from points
    inner join slots using (chassis, target)
)
select
    *,
    required_mm <= half_length_mm + 1e-9 as reached
from asked;
