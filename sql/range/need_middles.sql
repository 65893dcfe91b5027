-- title: Where the needed offsets of a target lie, by medians
-- grain: one row per chassis and target
-- source: needs
-- missing: NULL along an axis that the target leaves open
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column corner_count BIGINT: corners
-- column middle_out_mm DOUBLE [mm]: median, outboard
-- column middle_aft_mm DOUBLE [mm]: median, rearward
-- column scale_out_mm DOUBLE [mm]: 1.4826 median absolute deviations, and no less than the median noise
-- column scale_aft_mm DOUBLE [mm]: the same, rearward
select
    chassis,
    target,
    count(*) as corner_count,
    median(need_out_mm) as middle_out_mm,
    median(need_aft_mm) as middle_aft_mm,
    greatest(1.4826 * mad(need_out_mm), sqrt(median(noise_oo_mm2))) as scale_out_mm,
    greatest(1.4826 * mad(need_aft_mm), sqrt(median(noise_aa_mm2))) as scale_aft_mm
from needs
group by chassis, target
