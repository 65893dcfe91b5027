-- Front readings without a known offset, which no slope can use: one row per chassis and reason, with the first of them.
create or replace temp macro missing_offsets() as table
select
    chassis,
    offset_missing as reason,
    count(*) as reading_count,
    min({'source_line': source_line, 'source_file': source_file}).source_file as source_file,
    min({'source_line': source_line, 'source_file': source_file}).source_line as source_line
from placements
where corner in ('FL', 'FR') and offset_missing is not null
group by chassis, offset_missing;
