-- title: Repeats of one state that do not agree
-- likely: a number mistyped in one of the repeats, or something touched between them
-- mend: compare the repeats with the sheet; correct the wrong number and load its row with --replace
-- explains: included_angle_jump, downweighted_moves
-- Each reading against the mean of the others by the same gauge and person; of a state the one that is furthest off. Where the gauge was
-- mounted anew or conditions changed between repeats nothing is compared. Prior odds 1 : 1000 of an error of 1 deg sd (from memory).
with
apart as (
    select vehicle, corner, visit, phase from readings where remounted = 'yes'
    union
    select vehicle, corner, visit, phase from condition_levels where level > 1
),
repeated as (
    unpivot (
        select chassis, vehicle, corner, visit, phase, gauge, technician, coalesce(repeat, 1) as repeat, source_file,
            source_line, camber_deg, caster_deg, toe_deg, sai_deg
        from readings
        semi join (select vehicle, corner, visit, phase from readings where repeat > 1) as again
            using (vehicle, corner, visit, phase)
        anti join apart using (vehicle, corner, visit, phase)
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
compared as (
    select
        *,
        count(*) over one_reader as count,
        (sum(micro(read_deg)) over one_reader - micro(read_deg)) / nullif(count - 1, 0) / 1e6 as others_deg
    from repeated
    window one_reader as (partition by vehicle, corner, visit, phase, gauge, technician, response)
),
furthest as (
    select
        compared.*,
        power(of_response(
            response, camber_repeat_sd_deg, caster_repeat_sd_deg, toe_repeat_sd_deg, sai_repeat_sd_deg
        ), 2) * count / (count - 1) as noise_var
    from compared
    inner join check_noise on check_noise.chassis = compared.chassis
        and check_noise.gauge is not distinct from compared.gauge
    where count > 1
    qualify row_number() over (
        partition by vehicle, corner, visit, phase, compared.gauge, technician, response
        order by abs(read_deg - others_deg) desc, repeat desc
    ) = 1
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        '{} is {:.2f} deg in repeat {:d} ({}) and {:.2f} deg in {}',
        angle_name(response),
        read_deg,
        repeat,
        phase,
        others_deg,
        case count when 2 then 'the other' else 'the others on average' end
    ) as finding,
    posterior(
        1 / 1000.0,
        log_normal(read_deg - others_deg, noise_var + 1) - log_normal(read_deg - others_deg, noise_var)
    ) as p_mistake,
    source_file,
    source_line
from furthest
where p_mistake >= 0.5
