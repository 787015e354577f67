"""The same as the import of perf/import.ts by NumPy and pandas: two columns of a text table to arrays in SI with the
checks that an import makes (finite, increasing times, even steps). Prints seconds and peak memory as JSON.

python3 import_pandas.py FILE
"""
import json
import resource
import sys
import time

start = time.perf_counter()
import numpy as np
import pandas as pd

loaded = time.perf_counter()
table = pd.read_csv(sys.argv[1], dtype=np.float64)
t = table["Time (s)"].to_numpy()
u = table["CH1 (mV)"].to_numpy() / 1000
finite = bool(np.isfinite(t).all() and np.isfinite(u).all())
increasing = bool((np.diff(t) > 0).all())
step = (t[-1] - t[0]) / (len(t) - 1)
even = bool((np.abs(t - t[0] - step * np.arange(len(t))) < 0.01 * step).all())
end = time.perf_counter()
json.dump(
    {
        "pandas": pd.__version__,
        "import_seconds": loaded - start,
        "read_seconds": end - loaded,
        "peak_MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "rows": len(t),
        "sound": finite and increasing and even,
        "sum": float(u.sum()),
    },
    sys.stdout,
)
