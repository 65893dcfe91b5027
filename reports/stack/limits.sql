-- The three lengths that decide, of every best stack that lacks no part: one row per kit, shaft and length, with its limits at the worst
-- tolerances and as root sum of squares, and the frame of the picture, which sound stacks and what is needed set. shown_*: cut at the
-- frame; beyond_*: position of the arrow-head where a stack lies or goes on beyond it.
with
best as (
    select *
    from stacks($kit::varchar, $shaft::varchar, false, null::double, cast(map {} as map(varchar, double)), 1)
    where len(defects) = 0
),
measures as (
    select
        kit,
        shaft,
        sound,
        unnest([
            {
                'measure': 'margin',
                'length_mm': shoulder_margin_mm,
                'low_mm': shoulder_margin_low_mm,
                'rss_low_mm': shoulder_margin_rss_low_mm,
                'needed_mm': min_margin_mm,
                'wish_low_mm': wish_margin_low_mm,
                'wish_high_mm': wish_margin_high_mm
            },
            {
                'measure': 'thread',
                'length_mm': thread_shown_mm,
                'low_mm': thread_shown_low_mm,
                'rss_low_mm': thread_shown_rss_low_mm,
                'needed_mm': min_shown_mm,
                'wish_low_mm': null,
                'wish_high_mm': null
            },
            {
                'measure': 'clearance',
                'length_mm': clearance_mm,
                'low_mm': clearance_low_mm,
                'rss_low_mm': clearance_rss_low_mm,
                'needed_mm': min_clearance_mm,
                'wish_low_mm': null,
                'wish_high_mm': null
            }
        ], recursive := true)
    from best
),
framed as (
    select
        *,
        format('{} on {}', kit, shaft) as label,
        2 * length_mm - low_mm as high_mm,
        2 * length_mm - rss_low_mm as rss_high_mm,
        least(min(low_mm) filter (sound) over (partition by measure), needed_mm, 0) - 1 as frame_low_mm,
        greatest(max(2 * length_mm - low_mm) filter (sound) over (partition by measure), wish_high_mm, needed_mm)
            + 1 as frame_high_mm
    from measures
    where length_mm is not null
)
select
    *,
    case when length_mm between frame_low_mm and frame_high_mm then length_mm end as shown_mm,
    case when high_mm > frame_low_mm and low_mm < frame_high_mm then greatest(low_mm, frame_low_mm) end as shown_low_mm,
    case when high_mm > frame_low_mm and low_mm < frame_high_mm then least(high_mm, frame_high_mm) end as shown_high_mm,
    case when rss_high_mm > frame_low_mm and rss_low_mm < frame_high_mm then greatest(rss_low_mm, frame_low_mm) end
        as shown_rss_low_mm,
    case when rss_high_mm > frame_low_mm and rss_low_mm < frame_high_mm then least(rss_high_mm, frame_high_mm) end
        as shown_rss_high_mm,
    case when low_mm < frame_low_mm then frame_low_mm end as beyond_low_mm,
    case when high_mm > frame_high_mm then frame_high_mm end as beyond_high_mm
from framed
order by kit, shaft, measure
