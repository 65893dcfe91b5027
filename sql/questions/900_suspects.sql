-- What all checks find, one row a finding: which check, where, how sure, and whether a finding of another check about the same place is
-- open and explains it (its header names the check). Findings about habits of a file, person or gauge explain none here; the command
-- check knows those too. The checks themselves come in at the line that says so.
create or replace temp macro suspects() as table
with
found as (
    select
        '' as check_name, '' as title, '' as likely, '' as mend, []::varchar[] as explains, null::varchar as chassis,
        null::varchar as vehicle, null::varchar as corner, null::varchar as visit, null::varchar as finding,
        null::double as p_mistake, null::varchar as source_file, null::bigint as source_line
    where false
    -- every check
),
open_causes as (
    select distinct unnest(explains) as explained_check, check_name as cause, chassis, vehicle, visit, corner
    from found
    where coalesce(p_mistake, 1) >= 0.5
)
select
    * exclude (explains),
    (
        select min(cause)
        from open_causes
        where explained_check = found.check_name
            and open_causes.chassis is not distinct from found.chassis
            and (open_causes.vehicle is null or open_causes.vehicle is not distinct from found.vehicle)
            and (open_causes.visit is null or found.visit is null or open_causes.visit = found.visit)
            and (open_causes.corner is null or found.corner is null or open_causes.corner = found.corner)
    ) as explained_by
from found;
