-- What the readings of a front say of each cause by itself: one row per corner session that can be compared, from the tables whose names
-- are given (session_corners, sensitivities, slip_ends, drift_components). Columns:
-- front: row of compared_fronts
-- likelihoods: of each cause and size class, in the order of drift_causes and size, relative to the likeliest; 0 where it cannot be
-- log_likelihood: of the likeliest
-- Marginal likelihoods: sizes, the uncertainty of the slopes and angles not read are integrated out. Patterns: slip along what the plate
-- allows, move in any direction; spindle: camber alone; strut: a strut bent over the knuckle turns the knuckle about the ball joint, so
-- toe follows camber as in a slip while SAI stays; toe, caster, sai: that angle alone; arm: an arm moves SAI against camber and drags
-- the tie rod, 4.8 +- 0.6 deg of toe per deg of camber against the chassis' own ratio (common practice); toe_read: toe is read wrong and
-- with it camber brought to equal toe; unexplained: 1 deg of camber and toe, 2 deg of caster and SAI. What moves no plate moves no pointer,
-- which then is misread by 1 mm.
create or replace temp macro front_likelihoods(corners, slopes, ends, components) as table
with
sized_components as (
    select *
    from (
        select
            case pattern when 'move' then pattern else pattern || ' ' || component end as name,
            {'component': component, 'mean': mean, 'sd': sd, 'share': share} as component
        from query_table(components)
    )
    pivot (
        any_value(component) for name in (
            'slip 1', 'slip 2', 'slip 3', 'slip 4', 'slip 5', 'slip 6', 'move', 'spindle 1', 'spindle 2', 'spindle 3', 'strut 1',
            'strut 2', 'strut 3', 'toe 1', 'toe 2', 'toe 3', 'arm_toe_in 1', 'arm_toe_in 2', 'arm_toe_out 1', 'arm_toe_out 2', 'caster 1',
            'caster 2', 'camber_misread 1', 'caster_misread 1', 'sai_misread 1', 'toe_misread 1'
        )
    )
),
-- Materialised, so that the arithmetic runs over plain columns.
compared as materialized (
    select * from compared_fronts(corners, slopes, ends)
),
fronts as (
    select sized_components.*, compared as front
    from compared
    cross join sized_components
),
plane_slips as (
    select compared as front, weighed_slip(compared, sized_slip(compared, size_class)) as slip
    from compared
    cross join (select sizes as size_class from query_table(components) as sizes where pattern = 'slip')
    where compared.freedom = 'plane'
),
plane_products as (
    select front, slip_products(front, slip) as slip from plane_slips
),
plane_gains as (
    select front, slip_gain(slip) as slip from plane_products
),
plane_moves as (
    select front, integrated_slip(slip) as slip from plane_gains
),
plane_logs as (
    select front, slip.size.component as size, logs_around(slip.move, slip.size.mean) as logs from plane_moves
),
planes as (
    select front.vehicle as vehicle, front.corner as corner, front.visit as visit, list(log_sum(logs) order by size) as logs
    from plane_logs
    group by front.vehicle, front.corner, front.visit
),
-- In each step one expression stands for all components of a pattern.
sized as (
    select
        *,
        slot_size(columns('^slip (\d)$')) as 'size \1',
        slot_products(front) as slot,
        weighed(front, 0, 0, 0, 0, 1) as held,
        weighed(front, 1, 4, 4, 1, 1) as unexplained,
        weighed_bend(front, columns('^strut (\d)$'), front.toe_ratio_var) as 'weighed strut \1',
        weighed_bend(front, columns('^arm_toe_(in|out) (\d)$'), 0.36) as 'weighed \1 \2',
        ln(nullif(front.p_toe_in, 0)) as log_p_in,
        ln(nullif(front.p_toe_out, 0)) as log_p_out,
        move.mean * move.mean + move.sd * move.sd as move_square,
        {
            'camber_1': front.camber_out, 'camber_2': front.camber_aft, 'caster_1': front.caster_out, 'caster_2': front.caster_aft,
            'sai_1': front.sai_out, 'sai_2': front.sai_aft, 'toe_1': front.toe_out, 'toe_2': front.toe_aft,
            'pointer_1_out': 1, 'pointer_1_aft': 0, 'pointer_2_out': 0, 'pointer_2_aft': 1
        } as any_way
    from fronts
),
weights as (
    select
        *,
        slot_weighed(front, columns('^size (\d)$'), 0) as 'weighed slip \1',
        weighed(
            front, move_square * front.camber_move_var, move_square * front.caster_move_var, move_square * front.sai_move_var,
            move_square * front.toe_move_var, 0
        ) as weighed_move
    from sized
),
products as (
    select
        *,
        slot_summed(slot, columns('^weighed slip (\d)$')) as 'sums \1',
        two_ways(front, weighed_move, any_way) as move_products,
        one_way(front, held, 1, 0, 0, 0, columns('^((?:spindle|camber_misread) \d)$')) as 'one \1',
        one_way(front, held, 0, 1, 0, 0, columns('^((?:caster|caster_misread) \d)$')) as 'one \1',
        one_way(front, held, 0, 0, 1, 0, columns('^(sai_misread \d)$')) as 'one \1',
        one_way(front, held, -front.toe_part, 0, 0, 1, columns('^(toe \d)$')) as 'one \1',
        one_way(front, held, front.toe_read_part, 0, 0, 1, columns('^(toe_misread \d)$')) as 'one \1',
        bend(front, columns('^weighed (strut \d)$'), front.toe_ratio, 0) as 'one \1',
        bend(front, columns('^weighed (in \d)$'), 4.8, -1) as 'one \1',
        bend(front, columns('^weighed (out \d)$'), -4.8, -1) as 'one \1'
    from weights
),
gains as (
    select *, slot_gained(columns('^sums (\d)$')) as 'gain \1', gain(move_products, move.sd * move.sd) as move_gain from products
),
moves as (
    select
        *,
        slot_slipped(columns('^gain (\d)$')) as 'slipped \1',
        integrated(move_products, move_gain, move.sd * move.sd) as integrated_move,
        log_either_sign(columns('^one (.*)$')) as 'log \1'
    from gains
),
terms as (
    select
        *,
        slot_log(front, columns('^slipped (\d)$')) as 'slot \1',
        log_around(integrated_move, move.mean, 1, 0) as move_1,
        log_around(integrated_move, move.mean, sqrt(0.5), sqrt(0.5)) as move_2,
        log_around(integrated_move, move.mean, 0, 1) as move_3,
        log_around(integrated_move, move.mean, -sqrt(0.5), sqrt(0.5)) as move_4,
        "log in 1" + log_p_in as arm_1,
        "log in 2" + log_p_in as arm_2,
        "log out 1" + log_p_out as arm_3,
        "log out 2" + log_p_out as arm_4,
        "log caster 1" as arm_5,
        "log caster 2" as arm_6
    from moves
),
-- The largest of what is summed over; lists would cost more.
topped as (
    select
        *,
        greatest(*columns('^move_\d$')) as top_move,
        greatest(*columns('^log toe \d$')) as top_tie_rod,
        greatest(*columns('^arm_\d$')) as top_arm,
        greatest(*columns('^log .*_misread')) as top_misread
    from terms
),
causes as (
    select
        front,
        -deviance(front, held) / 2 as cause_1,
        case front.freedom when 'slot' then "slot 1" when 'plane' then planes.logs[1] end as cause_21,
        case front.freedom when 'slot' then "slot 2" when 'plane' then planes.logs[2] end as cause_22,
        case front.freedom when 'slot' then "slot 3" when 'plane' then planes.logs[3] end as cause_23,
        case front.freedom when 'slot' then "slot 4" when 'plane' then planes.logs[4] end as cause_24,
        case front.freedom when 'slot' then "slot 5" when 'plane' then planes.logs[5] end as cause_25,
        case front.freedom when 'slot' then "slot 6" when 'plane' then planes.logs[6] end as cause_26,
        case
            when front.freedom <> 'plane'
                then top_move + ln(exp(move_1 - top_move) + exp(move_2 - top_move) + exp(move_3 - top_move) + exp(move_4 - top_move))
        end as cause_3,
        columns('^log spindle (\d)$') as 'cause_4\1',
        columns('^log strut (\d)$') as 'cause_5\1',
        top_tie_rod + ln(exp("log toe 1" - top_tie_rod) + exp("log toe 2" - top_tie_rod) + exp("log toe 3" - top_tie_rod)) as cause_6,
        top_arm + ln(
            coalesce(exp(arm_1 - top_arm), 0) + coalesce(exp(arm_2 - top_arm), 0) + coalesce(exp(arm_3 - top_arm), 0)
                + coalesce(exp(arm_4 - top_arm), 0) + exp(arm_5 - top_arm) + exp(arm_6 - top_arm)
        ) as cause_7,
        top_misread + ln(
            exp("log camber_misread 1" - top_misread) + exp("log caster_misread 1" - top_misread)
                + exp("log sai_misread 1" - top_misread) + exp("log toe_misread 1" - top_misread)
        ) as cause_8,
        -deviance(front, unexplained) / 2 as cause_9
    from topped
    left join planes on planes.vehicle = front.vehicle and planes.corner = front.corner and planes.visit = front.visit
),
likeliest as (
    select *, greatest(*columns('^cause')) as log_likelihood from causes
),
relative as (
    select front, log_likelihood, coalesce(exp(columns('^(cause.*)$') - log_likelihood), 0) as '\1' from likeliest
)
select
    front,
    list_value(*columns('^cause')) as likelihoods,
    log_likelihood
from relative;
