#!/usr/bin/python3
"""Makes the small recordings of the tests with h5py and scipy. Usage: make_small.py; writes beside this script.

Every array `rf` has the same 5 frames x 6 lines x 20 samples; the sample s of line l of frame f is the upper half of
(1000003 f + 10007 l + 101 s + 12345) * 2654435761 modulo 2^32, less 32768. The tests know this formula too.
"""
import gzip
import pathlib
import zlib

import h5py
import numpy as np
import scipy.io

here = pathlib.Path(__file__).parent
FRAMES, LINES, SAMPLES = 5, 6, 20
SCAN = {
    "sampling_frequency_hz": 4e7,
    "centre_frequency_hz": 7.5e6,
    "speed_of_sound_m_s": 1500.0,
    "line_pitch_m": 3e-4,
    "frame_rate_hz": 50.0,
    "first_sample_depth_m": 1e-3,
}

f, l, s = np.meshgrid(np.arange(FRAMES), np.arange(LINES), np.arange(SAMPLES), indexing="ij")
hashed = ((1000003 * f + 10007 * l + 101 * s + 12345).astype(np.uint64) * np.uint64(2654435761)) % np.uint64(2**32)
rf = ((hashed >> np.uint64(16)).astype(np.int64) - 32768).astype(np.int16)
matlab_rf = rf.transpose(2, 1, 0)  # samples x lines x frames


def h5(name, data=rf, scan_on="array", **options):
    libver = options.pop("libver", None)
    with h5py.File(here / name, "w", libver=libver) as file:
        array = file.create_dataset("rf", data=data, track_times=False, **options)
        if scan_on == "datasets":
            for key, value in SCAN.items():
                file[key] = value
        else:
            (array if scan_on == "array" else file).attrs.update(SCAN)


h5("gzip-shuffle.h5", chunks=(2, 4, 7), compression="gzip", shuffle=True)
h5("gzip-shuffle-latest.h5", chunks=(2, 4, 7), compression="gzip", shuffle=True, libver="latest", scan_on="datasets")
h5("extensible-latest.h5", chunks=(1, 3, 9), maxshape=(None, LINES, SAMPLES), libver="latest")
h5("big-endian.h5", data=rf.astype(">i2"), chunks=(2, 3, 20), scan_on="root")
h5("contiguous.h5", scan_on="root")
h5("contiguous-big-endian.h5", data=rf.astype(">i2"))
h5("fletcher.h5", chunks=(2, 4, 7), compression="gzip", shuffle=True, fletcher32=True)
h5("fletcher-only.h5", chunks=(1, 6, 7), fletcher32=True)
h5("lzf.h5", chunks=(2, 4, 7), compression="lzf", shuffle=True)
h5("lzf-zeros.h5", data=np.where(l < 4, 0, rf).astype(np.int16), chunks=(2, 4, 7), compression="lzf")
h5("samples-lines-frames.h5", data=matlab_rf, chunks=(7, 4, 2), compression="gzip")
h5("lines-frames-samples.h5", data=rf.transpose(1, 0, 2), chunks=(4, 2, 7), compression="gzip")
h5("single-frame.h5", data=rf[0], chunks=(4, 7), compression="gzip")

with h5py.File(here / "unwritten.h5", "w") as file:
    array = file.create_dataset("rf", shape=rf.shape, dtype=np.int16, chunks=(1, 6, 20), compression="gzip")
    array.attrs.update(SCAN)
    for k in (0, 1, 2, 4):
        array[k] = rf[k]

with h5py.File(here / "compact.h5", "w") as file:
    plist = h5py.h5p.create(h5py.h5p.DATASET_CREATE)
    plist.set_layout(h5py.h5d.COMPACT)
    plist.set_obj_track_times(False)
    space = h5py.h5s.create_simple(rf.shape)
    array = h5py.Dataset(h5py.h5d.create(file.id, b"rf", h5py.h5t.STD_I16LE, space, plist))
    array[...] = rf
    array.attrs.update(SCAN)

with h5py.File(here / "several.h5", "w") as file:
    group = file.create_group("scan")
    group.create_dataset("left", data=rf)
    group.create_dataset("right", data=-1.0 * rf.astype(np.float32))
    group.create_dataset("time", data=np.arange(FRAMES) / 50.0)
    file.create_dataset("analytic", data=rf[:2].astype(np.complex64))
    file.create_dataset("half", data=rf[:1, :2, :2].astype(np.float16))
    file.create_dataset("long", data=rf[:1, :2, :2].astype(np.int64))
    file.create_dataset("four", data=rf.reshape(FRAMES, 2, 3, SAMPLES))
    file.create_dataset("nothing", shape=(0, LINES, SAMPLES), dtype=np.int16)
    file.create_dataset("note", data="a phantom")
    file["again"] = h5py.SoftLink("/scan/left")

with h5py.File(here / "none.h5", "w") as file:
    file.create_dataset("time", data=np.arange(FRAMES) / 50.0)

with h5py.File(here / "types.h5", "w") as file:
    for kind in ("i1", "u1", "<i2", "<u2", ">i4", "<u4", "<f4", ">f8"):
        name = np.dtype(kind).name
        data = np.array([[[0, 1, 2], [100, -100, 127]]])
        data = np.abs(data) if kind[-2] == "u" else data
        if kind.endswith("2"):
            data = 300 * data
        if kind[-1] in "48":
            data = 70000 * data
        if kind[-2] == "f":
            data = data / 7 + np.array([0, np.nan, 0])
        file.create_dataset(name, data=data.astype(kind)).attrs.update(SCAN)

# A MAT-file of version 7.3 is an HDF5 file behind 512 bytes, axes reversed.
with h5py.File(here / "version-7.3.mat", "w", userblock_size=512) as file:
    def put(name, data, kind):
        file.create_dataset(name, data=data, **({"chunks": (2, 4, 7), "compression": "gzip"} if name == "rf" else {}))
        file[name].attrs["MATLAB_class"] = np.bytes_(kind)
    put("rf", rf, "int16")
    put("operator", np.array([[97], [98], [99]], dtype=np.uint16), "char")
    put("mask", np.ones((LINES, SAMPLES), dtype=np.uint8), "logical")
    for key, value in SCAN.items():
        put(key, np.array([[value]]), "double")
with open(here / "version-7.3.mat", "r+b") as file:
    text = b"MATLAB 7.3 MAT-file, Platform: GLNXA64, Created on: Thu Jan 01 00:00:00 2026 HDF5 schema 1.00 ."
    file.write(text.ljust(116) + bytes(8) + b"\x00\x02IM")


def mat(name, variables, compress):
    scipy.io.savemat(here / name, variables, do_compression=compress)
    with open(here / name, "r+b") as file:  # without the time of day, so that the same files come out
        file.write(b"MATLAB 5.0 MAT-file Platform: posix, Created on: Thu Jan  1 00:00:00 2026".ljust(116))


mat("plain.mat", {"rf": matlab_rf, **SCAN}, False)
mat("compressed.mat", {**SCAN, "rf": matlab_rf}, True)
mat("frames-lines-samples.mat", {"data": rf, **SCAN}, True)
mat("single-frame.mat", {"rf": matlab_rf[:, :, 0], **SCAN}, True)
mat("several.mat", {
    "left": matlab_rf,
    "right": -1.0 * matlab_rf.astype(np.float32),
    "time": np.arange(FRAMES) / 50.0,
    "analytic": matlab_rf[:, :, :2] * (1 + 1j),
    "mask": np.ones((SAMPLES, LINES), dtype=bool),
    "four": matlab_rf.reshape(SAMPLES, 2, 3, FRAMES),
    "note": "a phantom",
    "cells": np.array([[np.arange(3), "x"]], dtype=object),
    "nested": {"rf": matlab_rf[:, :, 0]},
}, True)
mat("none.mat", {"time": np.arange(FRAMES) / 50.0}, True)
types = {"int8": [-128, 127], "uint8": [0, 255], "int16": [-32768, 32767], "uint16": [0, 65535],
         "int32": [-70000, 70000], "uint32": [0, 4000000000], "float32": [0.5, np.nan], "float64": [-0.25, 1e30]}
mat("types.mat", {name: np.array([values, values[::-1]]).astype(name) for name, values in types.items()}, True)

# NumPy files.
np.save(here / "plain.npy", rf)
np.save(here / "fortran.npy", np.asfortranarray(matlab_rf))  # samples x lines x frames, frames slowest in the file
np.save(here / "big-endian-float.npy", rf.astype(">f4"))
np.save(here / "double.npy", rf.astype("<f8").transpose(1, 0, 2).copy())  # lines x frames x samples
np.save(here / "single-frame.npy", rf[0])
np.save(here / "complex.npy", rf[0, :2, :2].astype(np.complex64))
np.save(here / "four-axes.npy", rf[:1, :1, :2].reshape(1, 1, 1, 2))
with open(here / "version-2.npy", "wb") as file:
    np.lib.format.write_array(file, rf, version=(2, 0))


# MetaImage files, as the format's description has them; DimSize lists the fastest axis first.
def meta(name, data, element, msb=False, compressed=None, data_file="LOCAL", scan=SCAN, skip=0):
    body = data.tobytes()
    packed = body if compressed is None else compressed(body)
    lines = ["ObjectType = Image", f"NDims = {data.ndim}", "BinaryData = True", f"BinaryDataByteOrderMSB = {msb}"]
    lines += [f"CompressedData = {compressed is not None}"]
    lines += [f"CompressedDataSize = {len(packed)}"] if compressed else []
    lines += ["DimSize = " + " ".join(str(n) for n in reversed(data.shape)), f"ElementType = {element}"]
    lines += [f"{key} = {value}" for key, value in scan.items()]
    lines += [f"HeaderSize = {skip}"] if skip else []
    head = ("\n".join(lines + [f"ElementDataFile = {data_file}"]) + "\n").encode()
    if data_file == "LOCAL":
        (here / name).write_bytes(head + packed)
    else:
        (here / name).write_bytes(head)
        (here / data_file).write_bytes(bytes(max(0, skip)) + packed)


meta("plain.mha", rf, "MET_SHORT")
meta("big-endian.mha", rf.astype(">f4"), "MET_FLOAT", msb=True)
meta("double.mha", rf.astype("<f8"), "MET_DOUBLE")
meta("compressed.mha", rf, "MET_SHORT", compressed=zlib.compress)
meta("gzip.mha", rf, "MET_SHORT", compressed=lambda body: gzip.compress(body, mtime=0))
meta("frames-fastest.mha", matlab_rf, "MET_SHORT")
meta("beside.mhd", rf, "MET_SHORT", data_file="beside.samples", skip=16)
