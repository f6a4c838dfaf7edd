#!/usr/bin/env python3
"""Writes reference.txt: windowed normalised cross-correlations by SciPy.

Run with Debian's python3-numpy and python3-scipy; prints the versions into the file.
Two band-limited noise lines of 512 samples, and for five windows and thirteen lags
sum(a b) / sqrt(sum(a^2) sum(b^2)), by scipy.signal.correlate.
"""
import numpy as np
import scipy
from scipy import signal

rng = np.random.default_rng(20260704)
n = 512
taps = signal.firwin(101, [4.5e6, 10.5e6], pass_zero=False, fs=40e6)
a = np.round(2000 * signal.lfilter(taps, 1, rng.standard_normal(n + 200))[200:])
b = np.round(0.9 * np.roll(a, 3) + 300 * rng.standard_normal(n))
half = 49
with open("reference.txt", "w") as f:
    f.write(f"# make_reference.py, numpy {np.__version__}, scipy {scipy.__version__}\n")
    f.write("a " + " ".join(f"{v:.0f}" for v in a) + "\n")
    f.write("b " + " ".join(f"{v:.0f}" for v in b) + "\n")
    for middle in (70, 128, 200, 301, 440):
        w = a[middle - half : middle + half + 1]
        out = []
        for lag in range(-6, 7):
            v = b[middle + lag - half : middle + lag + half + 1]
            c = signal.correlate(v, w, mode="valid")[0]
            out.append(c / np.sqrt(np.dot(w, w) * np.dot(v, v)))
        f.write(f"window {middle} " + " ".join(f"{v:.9f}" for v in out) + "\n")
