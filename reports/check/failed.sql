-- Checks that failed, so that their findings are missing.
select "check" as check_name, failure
from failed_checks
order by check_name
