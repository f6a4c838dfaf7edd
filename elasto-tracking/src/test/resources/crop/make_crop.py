#!/usr/bin/python3
"""Cuts the small test recording out of phantom-a: frames 1 and 2 around both inclusions, with the true motion.

Usage: make_crop.py FOLDER_OF_RECORDINGS
Needs phantom-a.h5 and phantom-a-truth.h5 in that folder; writes beside this script. The recordings are made by a
finite-element model of a pressed block and a scatterer model of a linear array, without any code of this project.

rf.int16      frames x lines x samples, little-endian 16-bit integers
truth.float32 component (0 axial, 1 lateral) x lines x depths, little-endian 32-bit floats, metres, motion from the
              first frame to the second at the place a tissue point has in the first
crop.properties  geometry of the crop, its window in the recording, the depths of the truth, the inclusions
"""
import pathlib
import sys

import h5py
import numpy as np

FIRST_FRAME, FRAMES = 1, 2
FIRST_LINE, LINES = 30, 78
SAMPLES = 1900

source = pathlib.Path(sys.argv[1])
target = pathlib.Path(__file__).parent

with h5py.File(source / "phantom-a.h5", "r") as file:
    rf = file["rf"][FIRST_FRAME:FIRST_FRAME + FRAMES, FIRST_LINE:FIRST_LINE + LINES, :SAMPLES]
    scan = {name: float(value) for name, value in file["rf"].attrs.items()}
    all_lines = file["rf"].shape[1]
with h5py.File(source / "phantom-a-truth.h5", "r") as file:
    window = (FIRST_FRAME, slice(FIRST_LINE, FIRST_LINE + LINES), slice(None))
    truth = np.stack([file["axial_displacement_m"][window], file["lateral_displacement_m"][window]])
    depth = file["depth_m"][()]
    lateral = file["lateral_m"][()]
    inclusions = file["inclusions_x_z_radius_stiffness"][()]

pitch = scan["line_pitch_m"]
centre = (all_lines - 1) / 2
shift = (FIRST_LINE + (LINES - 1) / 2 - centre) * pitch  # x of the crop's middle in the recording
spacing = (depth[-1] - depth[0]) / (len(depth) - 1)
assert np.allclose(np.diff(depth), spacing, rtol=1e-6), "the depths of the truth are not evenly spaced"
assert np.allclose(lateral, (np.arange(all_lines) - centre) * pitch), "the truth is not given on the lines"

rf.astype("<i2").tofile(target / "rf.int16")
truth.astype("<f4").tofile(target / "truth.float32")

properties = {
    "recording": "phantom-a",
    "first_frame": FIRST_FRAME,
    "frames": FRAMES,
    "first_line": FIRST_LINE,
    "lines": LINES,
    "samples": SAMPLES,
    **scan,
    "truth_depths": len(depth),
    "truth_first_depth_m": float(depth[0]),
    "truth_depth_spacing_m": float(spacing),
    "inclusions": len(inclusions),
}
for number, (x, z, radius, stiffness) in enumerate(inclusions):
    properties[f"inclusion_{number}_x_m"] = float(x - shift)
    properties[f"inclusion_{number}_z_m"] = float(z)
    properties[f"inclusion_{number}_radius_m"] = float(radius)
    properties[f"inclusion_{number}_stiffness_ratio"] = float(stiffness)
with open(target / "crop.properties", "w") as file:
    file.write("# Written by make_crop.py. Lateral positions count from the middle of the crop.\n")
    for name, value in properties.items():
        file.write(f"{name}={value!r}\n" if not isinstance(value, str) else f"{name}={value}\n")
