-- Median of a sorted list without one of its values, `own`; NULL where nothing else is in it.
create or replace temp macro other_at(sorted, own, place) as case when own <= sorted[place] then sorted[place + 1] else sorted[place] end;
create or replace temp macro median_of_others(sorted, own) as
    case when len(sorted) > 1 then
        (other_at(sorted, own, len(sorted) // 2) + other_at(sorted, own, (len(sorted) + 1) // 2)) / 2
    end;
