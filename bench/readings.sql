-- Invented readings for benchmarks: no real car, shop or kit. Seeded by hash(), so the same rows for any number of threads;
-- one pass without a sort, so any number of rows streams into a file.
-- Parameters: $vehicles cars from number $first on, of $chassis platforms; $sessions sessions for three cars in four.
-- With one session 12.5 readings a car: one adjustment of both fronts in three phases; for three cars in four a session with
-- four corners before and after; for one in eight a check with two repeats. One plate in twenty slips 3 mm in a session.
-- A shop has two gauges and five technicians, and 500 cars before the next shop begins; after 100 shops it is the first one's turn.
with
cars as (
    select
        $first + n as car,
        car % $chassis as platform,
        car // 500 % 100 as shop,
        timestamp '2023-01-01 08:00:00' + to_minutes(cast(hash(car, 3) % 1000000 as bigint)) as arrived_at,
        57.29578 / (500 + 7 * platform % 300) as slope,
        case when hash(car, 4) % 4 < 3 then $sessions else 0 end as session_count,
        hash(car, 5) % 8 = 0 as has_check
    from range($vehicles) as cars(n)
),
visits as (
    select
        *,
        unnest(
            [{'visit': 'adjust', 'visit_kind': 'adjust', 'minutes': 0, 'corner_count': 2}]
            || case when has_check then [{'visit': 'check', 'visit_kind': 'check', 'minutes': 5000, 'corner_count': 2}] else [] end
            || [
                {'visit': 'session ' || n, 'visit_kind': 'session', 'minutes': cast(10000 * n as integer), 'corner_count': 4}
                for n in range(1, session_count + 1)
            ],
            recursive := true
        )
    from cars
),
states as (
    select
        *,
        unnest(
            case visit_kind
                when 'adjust' then [
                    {'phase': 'before', 'repeat': 1, 'after': 0},
                    {'phase': 'moved', 'repeat': 1, 'after': 25},
                    {'phase': 'after', 'repeat': 1, 'after': 50}
                ]
                when 'check' then [{'phase': 'before', 'repeat': 1, 'after': 0}, {'phase': 'before', 'repeat': 2, 'after': 10}]
                else [{'phase': 'before', 'repeat': 1, 'after': 0}, {'phase': 'after', 'repeat': 1, 'after': 300}]
            end,
            recursive := true
        )
    from visits
),
corners as (
    select *, unnest(range(corner_count)) as place
    from states
),
settings as (
    select
        *,
        place < 2 as front,
        radians(hash(car, place, 11) % 3 * 120) as turn,
        cast(hash(car, place, visit = 'adjust' and phase = 'before', 12) % 21 as integer) - 10 as marks,
        visit_kind = 'session' and phase = 'after' and hash(car, place, visit, 13) % 20 = 0 as slipped,
        [
            sqrt(-2 * ln((hash(car, visit, phase, repeat, place, n, 21) % 1000000 + 1) / 1000001.0))
                * cos(2 * pi() * (hash(car, visit, phase, repeat, place, n, 22) % 1000000) / 1000000.0)
            for n in [1, 2, 3, 4]
        ] as z
    from corners
),
offsets as (
    select
        *,
        case when front then 2 * marks * cos(turn) - 6 * sin(turn) + 3 * slipped::integer else 0 end as out_mm,
        case when front then 2 * marks * sin(turn) + 6 * cos(turn) else 0 end as aft_mm
    from settings
)
select
    'v' || lpad(car::varchar, 8, '0') as vehicle,
    'c' || lpad(platform::varchar, 5, '0') as chassis,
    ['FL', 'FR', 'RL', 'RR'][place + 1] as corner,
    strftime(arrived_at + to_minutes(minutes + after + place), '%Y-%m-%dT%H:%M') as measured_at,
    visit,
    visit_kind,
    phase,
    repeat,
    case when visit_kind = 'session' then 's' || car || '.' || split_part(visit, ' ', 2) end as session,
    case when front then 'k' || car % 40 end as kit,
    null as plate_hand,
    case when front then hash(car, place, 11) % 3 + 1 end as plate_index,
    case when front then marks end as mark_1,
    null as mark_2,
    null as offset_out_mm,
    null as offset_aft_mm,
    round(-1.2 + (hash(car, place, 31) % 100) / 200.0 + slope * out_mm + 0.05 * z[1], 2) as camber_deg,
    case when front then round(4 + (hash(car, place, 32) % 100) / 100.0 + slope * aft_mm + 0.1 * z[2], 2) end as caster_deg,
    round(0.1 + case when visit = 'adjust' and phase = 'after' then 0 else 0.3 * slope * out_mm end + 0.02 * z[3], 2) as toe_deg,
    case when front then round(13 - slope * out_mm + 0.12 * z[4], 2) end as sai_deg,
    null as toe_reset,
    350 + hash(car, 33) % 30 as ride_height_mm,
    220 as tyre_kpa,
    'gauge ' || 2 * shop + hash(car, visit, repeat, 6) % 2 as gauge,
    'tech ' || 5 * shop + hash(car, visit, repeat, 7) % 5 as technician,
    case when visit = 'adjust' and phase = 'after' then 'street' end as target,
    case when hash(car, 34) % 50 = 0 then 'customer waits, "quick" job' end as note
from offsets
