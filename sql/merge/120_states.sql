-- The newest states of the front corners of all sites.
select
    vehicle,
    chassis,
    corner,
    cast(newest_first as varchar) as visit,
    'check' as visit_kind,
    'before' as phase,
    1 as phase_order,
    timestamp '2000-01-01' - to_seconds(newest_first) as ordered_ts,
    offset_out_mm,
    offset_aft_mm,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    camber_deg,
    camber_count,
    caster_deg,
    caster_count,
    toe_deg,
    toe_count,
    site || ' ' || gauge as gauge,
    site as source_file
from shared
where kind = 'state'
