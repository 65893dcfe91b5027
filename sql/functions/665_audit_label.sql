-- What a setting is called when settings are split by technician, gauge, kit, chassis or month; NULL where split is.
create or replace temp macro audit_label(split, technician, gauge, kit, chassis, month) as
    case split
        when 'technician' then coalesce(technician, '(not named)')
        when 'gauge' then coalesce(gauge, '(not named)')
        when 'kit' then coalesce(kit, '(original mount)')
        when 'chassis' then chassis
        when 'month' then coalesce(month, '(no date)')
    end;
