"""What a user would write instead of `strutmark load` and `strutmark slopes`: camber and caster per mm by chassis, by
least squares and by a bisquare M-estimate. Plates sit on their own side. Usage: python3 slopes.py READINGS KITS OUT"""

import os
import resource
import sys

import numpy as np
import pandas as pd
import statsmodels.api as sm

readings_path, kits_path, out_path = sys.argv[1:]
readings = pd.read_csv(
    readings_path,
    usecols=[
        "vehicle", "chassis", "corner", "visit", "phase", "repeat", "kit", "plate_index", "mark_1", "mark_2",
        "camber_deg", "caster_deg", "toe_deg",
    ],
)
fronts = readings[readings["corner"].isin(["FL", "FR"])].merge(pd.read_csv(kits_path), on="kit")
axis = np.radians(fronts["axis_deg"])
turn = np.radians((fronts["plate_index"] - 1) * fronts["index_step_deg"])
mark_1, mark_2 = fronts["mark_1"], fronts["mark_2"].fillna(0)
plate_out = fronts["centre_out_mm"] + fronts["mark_pitch_mm"] * (mark_1 * np.cos(axis) - mark_2 * np.sin(axis))
plate_aft = fronts["centre_aft_mm"] + fronts["mark_pitch_mm"] * (mark_1 * np.sin(axis) + mark_2 * np.cos(axis))
fronts["out_mm"] = plate_out * np.cos(turn) - plate_aft * np.sin(turn)
fronts["aft_mm"] = plate_out * np.sin(turn) + plate_aft * np.cos(turn)
fronts["phase_order"] = fronts["phase"].map({"before": 1, "moved": 2, "after": 3})

corner = ["vehicle", "corner", "visit", "kit"]
states = fronts.groupby([*corner, "chassis", "phase_order"], as_index=False, sort=False).agg(
    out_mm=("out_mm", "mean"),
    aft_mm=("aft_mm", "mean"),
    camber_deg=("camber_deg", "mean"),
    caster_deg=("caster_deg", "mean"),
    toe_deg=("toe_deg", "mean"),
    count=("camber_deg", "size"),
)
states["total"] = states.groupby(corner, sort=False)["count"].transform("sum")
pairs = states.merge(states, on=[*corner, "chassis", "total"], suffixes=("", "_later"))
pairs = pairs[pairs["phase_order"] < pairs["phase_order_later"]]
change = {name: pairs[f"{name}_later"] - pairs[name] for name in ["out_mm", "aft_mm", "camber_deg", "caster_deg", "toe_deg"]}
mean_caster = np.radians((pairs["caster_deg"] + pairs["caster_deg_later"]) / 2)
moves = pd.DataFrame({
    "chassis": pairs["chassis"],
    "move_out": change["out_mm"],
    "move_aft": change["aft_mm"],
    "weight": 2 * pairs["count"] * pairs["count_later"] / pairs["total"],
    "camber": change["camber_deg"] + np.tan(mean_caster) * change["toe_deg"],
    "caster": change["caster_deg"],
})
moves = moves[(moves["move_out"].abs() > 1e-6) | (moves["move_aft"].abs() > 1e-6)]

rows = []
for chassis, group in moves.groupby("chassis"):
    root = np.sqrt(group["weight"].to_numpy())
    predictors = group[["move_out", "move_aft"]].to_numpy() * root[:, None]
    for response in ["camber", "caster"]:
        values = group[response].to_numpy() * root
        plain = sm.OLS(values, predictors).fit().params
        robust = sm.RLM(values, predictors, M=sm.robust.norms.TukeyBiweight(4.685)).fit(maxiter=60).params
        rows.append((chassis, response, *plain, *robust))
names = ["chassis", "response", "plain_out", "plain_aft", "robust_out", "robust_aft"]
pd.DataFrame(rows, columns=names).to_csv(out_path, index=False)

usage = resource.getrusage(resource.RUSAGE_SELF)
with open(os.environ["BENCH_USAGE"], "w", encoding="utf-8") as file:
    file.write(f"{1000 * usage.ru_utime} {1000 * usage.ru_stime} {usage.ru_maxrss / 1024}")
