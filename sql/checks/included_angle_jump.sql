-- title: Included angle (camber + SAI at equal toe) that jumps within a visit
-- likely: camber or SAI misread in one phase; after running, a bent strut, knuckle or spindle, or slotted strut bolts that moved
-- mend: read camber and SAI again; correct a wrong number and load the row with --replace, look at the parts if it is right
-- explains: downweighted_moves
-- A move of the strut top changes camber and SAI by opposite amounts, whatever the mount, so their sum stays (domain of the
-- trade; exact in geometry but for 1 part in 20 that the sum may follow the move). Where another gauge or person read, the step between
-- them is taken off, and the mounting is another as over a session. Prior odds 1 : 200 of a jump of 1 deg sd.
with
sums as (
    select
        *,
        before_camber_deg + before_sai_deg as before_deg,
        moved_camber_deg + moved_sai_deg as moved_deg,
        after_camber_deg + after_sai_deg as after_deg,
        before_camber_var_deg2 + before_sai_var_deg2 as before_var,
        moved_camber_var_deg2 + moved_sai_var_deg2 as moved_var,
        after_camber_var_deg2 + after_sai_var_deg2 as after_var
    from check_corners
),
steps as (
    select
        vehicle,
        corner,
        visit,
        'before' as from_phase,
        'moved' as phase,
        before_deg as from_deg,
        moved_deg as included_deg,
        before_var + moved_var as read_var,
        power(moved_out_mm - before_out_mm, 2) + power(moved_aft_mm - before_aft_mm, 2) as move_mm2
    from sums
    union all
    select vehicle, corner, visit, 'moved', 'after', moved_deg, after_deg, moved_var + after_var,
        power(after_out_mm - moved_out_mm, 2) + power(after_aft_mm - moved_aft_mm, 2)
    from sums
    union all
    select vehicle, corner, visit, 'before', 'after', before_deg, after_deg, before_var + after_var,
        power(after_out_mm - before_out_mm, 2) + power(after_aft_mm - before_aft_mm, 2)
    from sums
    where moved_deg is null
),
running as (
    select sum(session_var_deg2) as running_var
    from session_vars
    where response in ('camber_deg', 'sai_deg')
),
reader_steps as (
    select reader_1, reader_2, sum(step_deg) as step_deg, sum(step_var_deg2) as step_var
    from reader_biases
    where reader_1 is not null and response in ('camber_deg', 'sai_deg')
    group by reader_1, reader_2
),
jumps as (
    select
        steps.*,
        later.chassis,
        later.source_file,
        later.source_line,
        coalesce(reader_steps.step_deg, 0) as step_deg,
        included_deg - from_deg - coalesce(reader_steps.step_deg, 0) as jump_deg,
        read_var + power(0.005, 2) * coalesce(move_mm2, 100) + coalesce(step_var, 0)
            + case when later.visit_kind <> 'session' and step_var > 0 then running_var else 0 end as jump_var
    from steps
    inner join states as later using (vehicle, corner, visit, phase)
    inner join states as earlier
        on earlier.vehicle = steps.vehicle
        and earlier.corner = steps.corner
        and earlier.visit = steps.visit
        and earlier.phase = from_phase
    left join reader_steps
        on reader_1 = reader_of(earlier.gauge, earlier.technician)
        and reader_2 = reader_of(later.gauge, later.technician)
    cross join running
),
judged as (
    select *, posterior(1 / 200.0, log_normal(jump_deg, jump_var + 1) - log_normal(jump_deg, jump_var)) as p_mistake
    from jumps
    where jump_deg is not null and p_mistake >= 0.5
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        'camber + SAI goes from {:.2f} deg ({}) to {:.2f} deg ({}){}, {:.1f} times its standard error',
        from_deg,
        from_phase,
        included_deg,
        phase,
        coalesce(format(', {:+.2f} deg of it between the readers', nullif(step_deg, 0)), ''),
        abs(jump_deg) / sqrt(jump_var)
    ) as finding,
    p_mistake,
    source_file,
    source_line,
    'included angle' as angle,
    included_deg as read_deg,
    from_deg + step_deg as expected_deg,
    1.96 * sqrt(jump_var) as limit_deg,
    'the state before' as expected_of
from judged
