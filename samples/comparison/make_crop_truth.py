#!/usr/bin/python3
"""Puts the true motion of the crop beside the trackers' tests into a truth file, as the recordings have one.

Usage: make_crop_truth.py; reads elasto-tracking/src/test/resources/crop, writes phantom-a-crop-truth.h5 beside this script.
"""
import pathlib

import h5py
import numpy as np

here = pathlib.Path(__file__).resolve().parent
crop = here.parent.parent / "elasto-tracking/src/test/resources/crop"
about = dict(
    line.split("=", 1) for line in (crop / "crop.properties").read_text().splitlines() if not line.startswith("#")
)
lines, depths = int(about["lines"]), int(about["truth_depths"])
motion = np.fromfile(crop / "truth.float32", "<f4").reshape(2, 1, lines, depths)  # component, pair, line, depth
with h5py.File(here / "phantom-a-crop-truth.h5", "w") as file:
    for name, plane in zip(("axial_displacement_m", "lateral_displacement_m"), motion):
        file.create_dataset(name, data=plane, compression="gzip", shuffle=True, track_times=False)
    file["depth_m"] = float(about["truth_first_depth_m"]) + np.arange(depths) * float(about["truth_depth_spacing_m"])
    file["lateral_m"] = (np.arange(lines) - (lines - 1) / 2) * float(about["line_pitch_m"])
    file["inclusions_x_z_radius_stiffness"] = [
        [float(about[f"inclusion_{n}_{part}"]) for part in ("x_m", "z_m", "radius_m", "stiffness_ratio")]
        for n in range(int(about["inclusions"]))
    ]
