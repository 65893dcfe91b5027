-- The only variant of reaches: as it is.
create or replace temp macro as_it_is() as {
    'name': 'as it is', 'value': cast(0 as double), 'need_out': cast(0 as double), 'need_aft': cast(0 as double),
    'centre_out_mm': cast(0 as double), 'centre_aft_mm': cast(0 as double), 'turn_deg': cast(0 as double)
};
