-- Mean and variance of a standard normal above `a` (Johnson, Kotz and Balakrishnan 1994, 13.10.1).
create or replace temp macro tail_mean(a) as
    case when a < 30 then exp(-a * a / 2) / sqrt(2 * pi()) / normal_cdf(-a) else a + 1 / a end;
create or replace temp macro tail_var(a) as
    case when a < 30 then greatest(1 + a * tail_mean(a) - power(tail_mean(a), 2), 0) else 1 / (a * a) end;
-- Variance of the square of a standard normal above `a`: E z^4 - (E z^2)^2 by E z^2 = 1 + a m, E z^4 = 3 + (a^3 + 3a) m.
create or replace temp macro tail_square_var(a) as
    case
        when a < 30 then greatest(3 + (a * a * a + 3 * a) * tail_mean(a) - power(1 + a * tail_mean(a), 2), 0)
        else cast(0 as double)
    end;
