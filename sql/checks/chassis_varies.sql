-- title: Cars with more than one chassis code
-- likely: the code mistyped, or two cars under one name
-- mend: correct chassis and load the rows with --replace; a corrected vehicle makes other rows, so load that file with --instead-of the earlier one, or strutmark forget the wrong rows
-- p_mistake is 1: a car has one chassis. The code with fewer visits is shown.
with
codes as (
    select
        vehicle,
        chassis,
        count(distinct visit) as visit_count,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from readings
    group by vehicle, chassis
),
ranked as (
    select
        *,
        first_value(chassis) over usual_first as usual_chassis,
        first_value(visit_count) over usual_first as usual_visit_count,
        sum(visit_count) over (partition by vehicle) as all_visit_count,
        row_number() over usual_first as rank
    from codes
    semi join (select vehicle from codes group by vehicle having count(*) > 1) as varying using (vehicle)
    window usual_first as (partition by vehicle order by visit_count desc, source_file, source_line)
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    cast(null as varchar) as visit,
    format(
        'chassis {} in {} of {} visits, {} in {}', chassis, visit_count, all_visit_count, usual_chassis,
        usual_visit_count
    ) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from ranked
where rank > 1
