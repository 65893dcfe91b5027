-- title: Front readings without a known offset, which no slope can use
-- grain: one row per chassis and reason
-- source: placements
-- missing: none
-- column chassis VARCHAR: platform code
-- column reason VARCHAR: why the offset is not known
-- column reading_count BIGINT: readings
-- column source_file VARCHAR: file of the first of them
-- column source_line INTEGER: line of the first of them, in any file
select
    chassis,
    offset_missing as reason,
    count(*) as reading_count,
    min({'source_line': source_line, 'source_file': source_file}).source_file as source_file,
    min({'source_line': source_line, 'source_file': source_file}).source_line as source_line
from placements
where corner in ('FL', 'FR') and offset_missing is not null
group by chassis, offset_missing
