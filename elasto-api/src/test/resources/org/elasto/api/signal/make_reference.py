"""Makes analytic-signal.txt and low-pass.txt, the outside judge of BasebandConverter.

Run in this folder with /usr/bin/python3; needs NumPy and SciPy (made with the versions that stand in
the first line of each file).
"""

import numpy as np
import scipy
from scipy import signal

FS = 40e6
FC = 7.5e6
BANDWIDTH = 6e6
SAMPLES = 1024
MADE_WITH = f"# NumPy {np.__version__}, SciPy {scipy.__version__}"

# Noise within the pass band, 0.35 bandwidths to either side of the centre frequency.
rng = np.random.default_rng(20240601)
f = np.fft.rfftfreq(SAMPLES, 1 / FS)
inside = np.abs(f - FC) < 0.35 * BANDWIDTH
spectrum = inside * (rng.normal(size=f.size) + 1j * rng.normal(size=f.size))
x = np.fft.irfft(spectrum, SAMPLES)
x = (x / np.max(np.abs(x))).astype(np.float32)
analytic = signal.hilbert(x.astype(np.float64))
with open("analytic-signal.txt", "w") as out:
    print(MADE_WITH, file=out)
    print("# sample, real and imaginary part of scipy.signal.hilbert", file=out)
    for sample, a in zip(x, analytic):
        print(f"{sample:.9g} {a.real:.9g} {a.imag:.9g}", file=out)

# The low-pass by SciPy's own window design: half its gain at BANDWIDTH / 2.
width = 0.3 * BANDWIDTH
taps, beta = signal.kaiserord(60, width / (FS / 2))
taps += 1 - taps % 2
h = signal.firwin(taps, BANDWIDTH / 2, window=("kaiser", beta), fs=FS)
with open("low-pass.txt", "w") as out:
    print(MADE_WITH, file=out)
    print("# taps of scipy.signal.firwin with a Kaiser window", file=out)
    for tap in h:
        print(f"{tap:.12g}", file=out)
