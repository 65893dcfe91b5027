-- One row: how much was judged, and toe that was not set again.
select
    (select count(*) from judged_visits(1.65, 30)) as visit_count,
    (select count(distinct vehicle) from judged_visits(1.65, 30)) as vehicle_count,
    (select count(*) from target_settings where not_judged is null) as setting_count,
    (select count(*) from target_settings where not_judged is not null) as not_judged_count,
    (select count(*) from toe_settings where toe_state = 'not set again') as toe_not_set_count,
    (select count(*) from toe_settings where toe_state = 'as if not set again') as toe_looks_unset_count,
    (select strftime(min(measured_ts), '%Y-%m-%d') from judged_visits(1.65, 30)) as first_day,
    (select strftime(max(measured_ts), '%Y-%m-%d') from judged_visits(1.65, 30)) as last_day
