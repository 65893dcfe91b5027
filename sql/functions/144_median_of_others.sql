-- Median of `count` values without one of them, `own`; NULL where nothing else is among them. Of the values in order, lower is the
-- (count // 2)-th, middle and upper the two after it.
create or replace temp macro median_of_others(count, lower, middle, upper, own) as
    case
        when count < 2 then null
        when count % 2 = 0 then case when own <= lower then middle else lower end
        else (
            case when own <= lower then middle else lower end + case when own <= middle then upper else middle end
        ) / 2
    end;
-- Variance of one of several about that median: `spread` of each, `noise` what reading adds to the `count` others.
create or replace temp macro other_level_var(count, spread, noise) as
    case when count > 0 then spread + (spread + noise) / count * case when count > 2 then pi() / 2 else 1 end end;
