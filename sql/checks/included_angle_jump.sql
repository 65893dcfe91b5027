-- title: Included angle (camber + SAI at equal toe) that jumps within a visit
-- likely: camber or SAI misread in one phase; after running, a bent strut, knuckle or spindle, or slotted strut bolts that moved
-- mend: read camber and SAI again; correct a wrong number and load the row with --replace, look at the parts if it is right
-- explains: downweighted_moves
-- A move of the strut top changes camber and SAI by opposite amounts, whatever the mount, so their sum stays (domain of the
-- trade; exact in geometry but for 1 part in 20 that the sum may follow the move). Prior odds 1 : 200 of a jump of 1 deg sd.
with
sums as (
    select
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        any_value(chassis) as chassis,
        sum(read_deg + toe_part_deg) as included_deg,
        sum(read_var_deg2) as read_var_deg2,
        any_value(offset_out_mm) as offset_out_mm,
        any_value(offset_aft_mm) as offset_aft_mm,
        any_value(source_file) as source_file,
        any_value(source_line) as source_line
    from check_states
    where response in ('camber_deg', 'sai_deg')
    group by vehicle, corner, visit, phase, phase_order
    having count(*) = 2
),
steps as (
    select
        *,
        lag(phase) over visit_order as from_phase,
        lag(included_deg) over visit_order as from_deg,
        included_deg - lag(included_deg) over visit_order as jump_deg,
        read_var_deg2 + lag(read_var_deg2) over visit_order
            + power(0.005, 2) * coalesce(
                power(offset_out_mm - lag(offset_out_mm) over visit_order, 2)
                    + power(offset_aft_mm - lag(offset_aft_mm) over visit_order, 2),
                100
            ) as jump_var
    from sums
    window visit_order as (partition by vehicle, corner, visit order by phase_order)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        'camber + SAI goes from {:.2f} deg ({}) to {:.2f} deg ({}), {:.1f} times its standard error',
        from_deg, from_phase, included_deg, phase, abs(jump_deg) / sqrt(jump_var)
    ) as finding,
    posterior(1 / 200.0, log_normal(jump_deg, jump_var + 1) - log_normal(jump_deg, jump_var)) as p_mistake,
    source_file,
    source_line
from steps
where jump_deg is not null and p_mistake >= 0.5
