"""Reference numbers for the bench's spectrum and ring-down code, computed with NumPy and SciPy only.

    python3 perf/bench_scipy.py [FOLDER of the samples as WAV]

writes test/bench/data/scipy.json. With a folder it also cuts the two recordings anew
(test/bench/data/recordings.json) from the Debian package sonic-pi-samples 3.2.2~repack-8, whose files were unpacked
with `flac -d`: tabla_tun1 (a struck drum skin; means of 8 samples) and elec_triangle (a struck steel triangle).
Both are CC0 1.0 (copyright file of the package, names of the recordings' authors beside them).
"""

import json
import sys
from pathlib import Path

import numpy as np
import scipy
from scipy.io import wavfile
from scipy.optimize import curve_fit
from scipy.signal import coherence, csd, welch

DATA = Path(__file__).parent.parent / "test" / "bench" / "data"


def cut(folder):
    rate, x = wavfile.read(folder / "tabla_tun1.wav")
    x = np.asarray(x, float).reshape(len(x), -1)[:, 0]
    drum = np.round(x[4000 : 4000 + 8 * 3000].reshape(-1, 8).mean(axis=1), 1)
    rate2, y = wavfile.read(folder / "elec_triangle.wav")
    y = np.asarray(y, float).reshape(len(y), -1)[:, 0]
    steel = y[600:3600]
    out = {
        "licence": "CC0 1.0 Universal",
        "origin": "Debian package sonic-pi-samples 3.2.2~repack-8, see perf/bench_scipy.py",
        "recordings": [
            {
                "name": "drum",
                "what": "tabla_tun1.flac, freesound.org sound 130416 by dio_333: samples 4000 to 28000, means of 8",
                "rate_Hz": rate / 8,
                "samples": drum.tolist(),
            },
            {
                "name": "steel",
                "what": "elec_triangle.flac, freesound.org sound 13147 by looppool: samples 600 to 3600",
                "rate_Hz": rate2,
                "samples": steel.astype(int).tolist(),
            },
        ],
    }
    (DATA / "recordings.json").write_text(json.dumps(out) + "\n")


def pencil(y, poles):
    """Matrix pencil by SVD of the Hankel matrix (Hua and Sarkar 1990)."""
    n = len(y)
    size = n // 3
    hankel = np.lib.stride_tricks.sliding_window_view(y, size + 1)
    v = np.linalg.svd(hankel, full_matrices=False)[2][:poles].T
    return np.linalg.eigvals(np.linalg.pinv(v[:-1]) @ v[1:])


def model(t, c, *p):
    y = np.full_like(t, c)
    for a, w, cosine, sine in zip(*[iter(p)] * 4):
        y += np.exp(-a * t) * (cosine * np.cos(w * t) + sine * np.sin(w * t))
    return y


def ring(y, dt, modes):
    t = np.arange(len(y)) * dt
    head = y[:240] - y[:240].mean()
    z = pencil(head, 2 * modes + 4)
    up = z[(np.angle(z) > 0.05) & (np.angle(z) < 3) & (abs(z) < 1.05)]
    k = np.arange(len(head))
    basis = np.concatenate([np.array([q**k for q in up]).T, np.array([q.conj() ** k for q in up]).T], axis=1)
    amplitude = np.linalg.lstsq(basis, head.astype(complex), rcond=None)[0][: len(up)]
    energy = [np.sum(abs(a * q**k) ** 2) for a, q in zip(amplitude, up)]
    best = np.argsort(energy)[::-1][:modes]
    start = [y[-len(y) // 4 :].mean()]
    for i in best:
        s = np.log(up[i]) / dt
        start += [-s.real, s.imag, 2 * amplitude[i].real, -2 * amplitude[i].imag]
    p, covariance = curve_fit(model, t, y, start, xtol=1e-14, ftol=1e-14, gtol=1e-14, maxfev=20000)
    order = np.argsort(p[2::4])
    p = np.concatenate([p[:1]] + [p[1 + 4 * m : 5 + 4 * m] for m in order])
    u = np.sqrt(np.diag(covariance))
    u = np.concatenate([u[:1]] + [u[1 + 4 * m : 5 + 4 * m] for m in order])
    return {
        "modes": modes,
        "parameters": p.tolist(),
        "u": u.tolist(),
        "residual_sum_of_squares": float(np.sum((model(t, *p) - y) ** 2)),
    }


def main():
    if len(sys.argv) > 1:
        cut(Path(sys.argv[1]))
    recordings = json.loads((DATA / "recordings.json").read_text())["recordings"]
    out = {
        "made": f"perf/bench_scipy.py, NumPy {np.__version__}, SciPy {scipy.__version__}",
        "parameters": "offset, then decay rate (1/s), angular frequency (rad/s), cosine and sine part of each mode",
        "recordings": [],
    }
    for recording in recordings:
        y = np.asarray(recording["samples"], float)
        rate = recording["rate_Hz"]
        spectra = []
        for segment, overlap in [(512, 256), (300, 100)]:
            f, p = welch(y, rate, window="hann", nperseg=segment, noverlap=overlap, detrend="constant")
            spectra.append({"segment": segment, "overlap": overlap, "frequency_Hz": f.tolist(), "density": p.tolist()})
        window = y[200:1700]
        out["recordings"].append(
            {
                "name": recording["name"],
                "welch": spectra,
                "window": [200, 1700],
                "ring": [ring(window, 1 / rate, m) for m in (1, 2)],
            }
        )
    x, y = (np.asarray(r["samples"], float) for r in recordings)
    f, p = csd(x, y, 1.0, window="hann", nperseg=256, noverlap=128, detrend="constant")
    c = coherence(x, y, 1.0, window="hann", nperseg=256, noverlap=128, detrend="constant")[1]
    out["cross"] = {
        "what": "csd and coherence of both recordings' samples at 1 per second, segments of 256, half overlapping",
        "re": p.real.tolist(),
        "im": p.imag.tolist(),
        "coherence": c.tolist(),
    }
    (DATA / "scipy.json").write_text(json.dumps(out) + "\n")


main()
