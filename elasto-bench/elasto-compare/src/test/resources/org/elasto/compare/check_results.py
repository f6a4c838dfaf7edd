"""Checks a results file, and the planes exported from it, with h5py and NumPy.

Usage: check_results.py RESULTS PLANES; prints how many things were compared, and number and sum of the known strains.
"""
import pathlib
import sys

import h5py
import numpy as np

compared = 0


def check(found, expected, what):
    global compared
    compared += 1
    if isinstance(expected, np.ndarray):
        good = found.dtype == expected.dtype and np.array_equal(found, expected, equal_nan=expected.dtype.kind == "f")
    else:
        good = found == expected
    if not good:
        sys.exit(f"{what}: found {found!r}, expected {expected!r}")


LINES, SAMPLES = 20, 900
with h5py.File(sys.argv[1], "r") as file:
    pairs, lines = 2, LINES
    rows, strain_rows = len(file["depth_m"]), len(file["strain_depth_m"])
    field, strain = (pairs, lines, rows), (pairs, lines, strain_rows)
    names = {
        "pairs": ((pairs, 2), "i"),
        "depth_m": ((rows,), "f"),
        "lateral_m": ((lines,), "f"),
        "axial_displacement_m": (field, "f"),
        "lateral_displacement_m": (field, "f"),
        "displacement_deviation_m": (field, "f"),
        "correlation": (field, "f"),
        "strain_depth_m": ((strain_rows,), "f"),
        "axial_strain": (strain, "f"),
        "strain_deviation": (strain, "f"),
        "trusted": (strain, "i"),
    }
    check(sorted(file), sorted(names), "names of data sets")
    for name, (shape, kind) in names.items():
        check(file[name].shape, shape, f"shape of {name}")
        check(file[name].dtype.kind, kind, f"kind of {name}")
    check(file["pairs"][()].tolist(), [[0, 1], [1, 2]], "pairs")

    # Units: metres and seconds, as the names say.
    spacing = 0.3e-3
    check(bool(np.allclose(file["lateral_m"], (np.arange(lines) - (lines - 1) / 2) * spacing)), True, "lateral_m")
    depth = SAMPLES * 1540 / 2 / 40e6
    check(bool(0 <= file["depth_m"][0] < file["depth_m"][-1] <= depth), True, "depth_m")
    check(bool(np.allclose(np.diff(file["depth_m"]), file.attrs["row_spacing_m"])), True, "row_spacing_m")
    for name, value in {
        "lines": LINES,
        "samples": SAMPLES,
        "sampling_frequency_hz": 40e6,
        "centre_frequency_hz": 7.5e6,
        "speed_of_sound_m_s": 1540.0,
        "first_sample_depth_m": 0.0,
        "line_pitch_m": spacing,
        "frame_rate_hz": 50.0,
        "source_name": "two-stiff-inclusions",
    }.items():
        found = file.attrs[name]
        check(found.decode() if isinstance(found, bytes) else found, value, f"attribute {name}")
    for name in ("library_version", "displacement_estimator", "strain_estimator", "displacement_parameters"):
        check(bool(str(file.attrs[name])), True, f"attribute {name}")
    check("=" in str(file.attrs["displacement_parameters"]), True, "parameters")

    # A press of a few thousandths: tissue nears the probe by micrometres, and strain is negative.
    u = file["axial_displacement_m"][0]
    known = file["correlation"][0] > 0
    check(bool(np.isfinite(u[known]).all() and np.isnan(u[~known]).all()), True, "unknown is NaN")
    check(bool(-100e-6 < np.nanmean(u) < -5e-6), True, "size of displacement")
    trusted = file["trusted"][()] == 1
    check(set(np.unique(file["trusted"])) <= {0, 1}, True, "values of trusted")
    check(bool(-0.006 < file["axial_strain"][0][trusted[0]].mean() < -0.001), True, "size of strain")

    planes = pathlib.Path(sys.argv[2])
    for name in ("depth_m", "lateral_m", "strain_depth_m"):
        check(np.load(planes / f"{name}.npy"), file[name][()].astype(np.float64), name)
    for index, (first, second) in enumerate(file["pairs"][()]):
        for name, (shape, _) in names.items():
            if len(shape) == 3:
                plane = file[name][index]
                plane = plane.astype(bool) if name == "trusted" else plane
                check(np.load(planes / f"pair-{first:03d}-{second:03d}-{name}.npy"), plane, name)

    values = file["axial_strain"][()].astype(np.float64)
    print("compared", compared, np.isfinite(values).sum(), repr(float(np.nansum(values))))
