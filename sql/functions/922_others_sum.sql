-- Sum over the moves of the other vehicles of a chassis, over the variance of a move: that of all less that of the vehicle itself, NULL =
-- no moves.
create or replace temp macro others_sum(total, own, scale_deg) as
    coalesce((total - coalesce(own, 0)) / power(scale_deg, 2), 0);
