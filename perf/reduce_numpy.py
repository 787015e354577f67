"""The same file read and its levels and first transition found with NumPy: python3 perf/reduce_numpy.py FILE"""
import sys
import time

import numpy as np

started = time.perf_counter()
try:
    import pandas

    data = pandas.read_csv(sys.argv[1]).to_numpy()
    reader = "pandas " + pandas.__version__
except ImportError:
    data = np.loadtxt(sys.argv[1], delimiter=",", skiprows=1)
    reader = "numpy.loadtxt " + np.__version__
t, y = data[:, 0], data[:, 1]
counts, edges = np.histogram(y, bins=1000)
middle = (edges[:-1] + edges[1:]) / 2
half = (y.min() + y.max()) / 2
low = middle[:500][counts[:500].argmax()] if counts[:500].any() else y.min()
high = middle[500:][counts[500:].argmax()] if counts[500:].any() else y.max()
above = y > (low + high) / 2
rises = np.flatnonzero(~above[:-1] & above[1:])
used = time.process_time()
print(f"{time.perf_counter() - started:.2f} s, processor {used:.2f} s, {reader}: {low:.4f} {high:.4f} {len(rises)} rises")
