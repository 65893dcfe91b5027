# What a user would write instead of `strutmark load` and `strutmark slopes`: camber and caster per mm by chassis, by least
# squares and by a bisquare M-estimate. Plates sit on their own side. Usage: Rscript slopes.R READINGS KITS OUT
suppressPackageStartupMessages({
    library(data.table)
    library(MASS)
})
paths <- commandArgs(trailingOnly = TRUE)
readings <- fread(paths[1], select = c(
    "vehicle", "chassis", "corner", "visit", "phase", "repeat", "kit", "plate_index", "mark_1", "mark_2",
    "camber_deg", "caster_deg", "toe_deg"
))
kits <- fread(paths[2])
fronts <- kits[readings[corner %in% c("FL", "FR")], on = "kit"]
fronts[is.na(mark_2), mark_2 := 0]
fronts[, `:=`(axis = axis_deg * pi / 180, turn = (plate_index - 1) * index_step_deg * pi / 180)]
fronts[, `:=`(
    plate_out = centre_out_mm + mark_pitch_mm * (mark_1 * cos(axis) - mark_2 * sin(axis)),
    plate_aft = centre_aft_mm + mark_pitch_mm * (mark_1 * sin(axis) + mark_2 * cos(axis))
)]
fronts[, `:=`(
    out_mm = plate_out * cos(turn) - plate_aft * sin(turn),
    aft_mm = plate_out * sin(turn) + plate_aft * cos(turn),
    phase_order = match(phase, c("before", "moved", "after"))
)]
states <- fronts[, .(
    chassis = chassis[1], out_mm = mean(out_mm), aft_mm = mean(aft_mm), camber_deg = mean(camber_deg),
    caster_deg = mean(caster_deg), toe_deg = mean(toe_deg), count = .N
), by = .(vehicle, corner, visit, kit, phase_order)]
states[, total := sum(count), by = .(vehicle, corner, visit, kit)]
pairs <- states[states, on = .(vehicle, corner, visit, kit), allow.cartesian = TRUE][phase_order < i.phase_order]
pairs[, `:=`(
    move_out = i.out_mm - out_mm, move_aft = i.aft_mm - aft_mm, weight = 2 * count * i.count / total,
    camber = i.camber_deg - camber_deg + tan((caster_deg + i.caster_deg) / 2 * pi / 180) * (i.toe_deg - toe_deg),
    caster = i.caster_deg - caster_deg
)]
pairs <- pairs[abs(move_out) > 1e-6 | abs(move_aft) > 1e-6]
moves <- melt(
    pairs, id.vars = c("chassis", "move_out", "move_aft", "weight"), measure.vars = c("camber", "caster"),
    variable.name = "response", value.name = "change"
)
slopes <- moves[, {
    plain <- coef(lm(change ~ 0 + move_out + move_aft, weights = weight))
    robust <- coef(rlm(change ~ 0 + move_out + move_aft, weights = weight, psi = psi.bisquare, maxit = 60))
    .(plain_out = plain[[1]], plain_aft = plain[[2]], robust_out = robust[[1]], robust_aft = robust[[2]])
}, by = .(chassis, response)]
fwrite(slopes, paths[3])

peak_kb <- if (file.exists("/proc/self/status")) sub("\\D+(\\d+).*", "\\1", grep("VmHWM", readLines("/proc/self/status"), value = TRUE)) else NA
time <- proc.time()
writeLines(paste(1000 * time[["user.self"]], 1000 * time[["sys.self"]], as.numeric(peak_kb) / 1024), Sys.getenv("BENCH_USAGE"))
