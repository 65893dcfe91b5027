select
    site || ' ' || cell as vehicle,
    'FL' as corner,
    'session' as visit,
    response,
    change_deg,
    before_count,
    after_count
from shared
where kind = 'change'
