-- The marks of a scale in steps counted from 0, both ends included, in order.
create or replace temp macro mark_grid(mark_min, mark_max, mark_step) as
    list_sort(list_distinct(list_concat(
        [mark_min, mark_max],
        list_transform(
            range(
                cast(ceil(mark_min / mark_step - 1e-9) as bigint),
                cast(floor(mark_max / mark_step + 1e-9) as bigint) + 1
            ),
            lambda k: round(k * mark_step, 6)
        )
    )));
