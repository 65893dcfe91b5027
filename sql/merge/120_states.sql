select
    vehicle,
    chassis,
    corner,
    cast(newest_first as varchar) as visit,
    'check' as visit_kind,
    'before' as phase,
    -newest_first as phase_order,
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
