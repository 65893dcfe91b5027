-- How far to go along a step d of iterated reweighting (with the weights w: xx d = score) when h, the matrix of the derivative psi'
-- over the same moves, is known too. Near the solution and with h well positive: h^-1 xx d, a Newton step; else d, stretched by
-- the ratio of the traces, far from it less than twice, up to where reweighting still cannot miss (d minimises a parabola above
-- the objective). Struct of out and aft in the units of d, and whether it is a Newton step.
create or replace temp macro newton_step(xx_oo, xx_oa, xx_aa, h_oo, h_oa, h_aa, d_out, d_aft, near) as
    case
        when near
            and h_oo > 0.1 * xx_oo
            and h_aa > 0.1 * xx_aa
            and h_oo * h_aa - h_oa * h_oa > 0.02 * (xx_oo * xx_aa - xx_oa * xx_oa)
            and xx_oo * xx_aa - xx_oa * xx_oa > 1e-6 * xx_oo * xx_aa
        then {
            'out': (
                h_aa * (xx_oo * d_out + xx_oa * d_aft) - h_oa * (xx_oa * d_out + xx_aa * d_aft)
            ) / (h_oo * h_aa - h_oa * h_oa),
            'aft': (
                h_oo * (xx_oa * d_out + xx_aa * d_aft) - h_oa * (xx_oo * d_out + xx_oa * d_aft)
            ) / (h_oo * h_aa - h_oa * h_oa),
            'newton': true
        }
        when h_oo + h_aa > 0
        then {
            'out': d_out * least((xx_oo + xx_aa) / (h_oo + h_aa), case when near then 4 else 1.9 end),
            'aft': d_aft * least((xx_oo + xx_aa) / (h_oo + h_aa), case when near then 4 else 1.9 end),
            'newton': false
        }
        else {'out': d_out, 'aft': d_aft, 'newton': false}
    end;
