-- title: Bearing offset that meets a target exactly
-- grain: one row per vehicle, front corner and target of its chassis with camber or caster
-- source: needs, needed_moments
-- kept: as a view
-- missing: as in needs
-- Set apart, where there are 8 corners or more: over 5 times 1.4826 median absolute deviations from the median; that is a mistake of
-- writing rather than a car.
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit of the state
-- column phase VARCHAR: before moved after
-- column kit VARCHAR: kit that is fitted; NULL = original mount
-- column offset_out_mm DOUBLE [mm]: bearing offset of the state, outboard
-- column offset_aft_mm DOUBLE [mm]: bearing offset of the state, rearward
-- column move_out_mm DOUBLE [mm]: from there to the need, outboard
-- column move_aft_mm DOUBLE [mm]: from there to the need, rearward
-- column need_out_mm DOUBLE [mm]: needed offset, outboard
-- column need_aft_mm DOUBLE [mm]: needed offset, rearward
-- column noise_oo_mm2 DOUBLE [mm2]: variance of the need from reading noise and pointer reading, outboard
-- column noise_oa_mm2 DOUBLE [mm2]: its covariance
-- column noise_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column bias_out_sd_mm DOUBLE [mm]: standard deviation, outboard, of what is not known of the bias of who read
-- column bias_aft_sd_mm DOUBLE [mm]: the same rearward
-- column beyond_out DOUBLE: outboard part of the direction (length 1) past the end; NULL where not censored
-- column beyond_aft DOUBLE: its rearward part
-- column limit_mm DOUBLE [mm]: the need lies at more than this along that direction, from the original mount's bearing centre
-- column set_apart BOOLEAN: far from the other corners: over 5 robust standard deviations from their median along an axis
-- column source_file VARCHAR: file of the state
-- column source_line INTEGER: line in that file
select
    needs.* exclude (source_file, source_line),
    coalesce(abs(need_out_mm - middle_out_mm) > far_out_mm, false)
        or coalesce(abs(need_aft_mm - middle_aft_mm) > far_aft_mm, false) as set_apart,
    source_file,
    source_line
from needs
inner join needed_moments using (chassis, target)
