"""Writes the files beside it with NumPy and pandas: python3 files.py FOLDER.

The numbers are those of `expected.json`: times of 0.1 ms steps, a damped oscillation in mV, a gate in V, each
rounded to what the file's format holds. Made with NumPy 1.24.2, pandas 1.5.3 (Debian 12).
"""
import io
import json
import sys
from pathlib import Path

import numpy as np
import pandas as pd

folder = Path(sys.argv[1])
folder.mkdir(exist_ok=True)
n = 60
time = np.arange(n) * 1e-4
signal = 800 * np.exp(-time / 2.1e-3) * np.cos(2 * np.pi * 410 * time) + 3.25
gate = np.where(np.arange(n) % 30 < 15, 5.0, 0.0)
both = np.column_stack([time, signal, gate])
head = "time (s) signal (mV) gate (V)"

np.savetxt(folder / "savetxt_default.txt", both)
np.savetxt(folder / "savetxt_header.txt", both, header="recorded at 21 degrees\ntime signal gate\ns mV V")
np.savetxt(folder / "savetxt_comma.csv", both, delimiter=",", fmt="%.9g", header="time (s),signal (mV),gate (V)")
np.savetxt(folder / "savetxt_tab_crlf.txt", both, delimiter="\t", fmt="%.6e", newline="\r\n",
           header="time/s\tsignal/mV\tgate/V", comments="")

names = ["time (s)", "signal (mV)", "gate (V)"]
table = pd.DataFrame(both, columns=names)
table.to_csv(folder / "to_csv_index.csv")
table.to_csv(folder / "to_csv_europe.csv", index=False, sep=";", decimal=",")
table.to_csv(folder / "to_csv_quoted.csv", index=False, quoting=1, float_format="%.7f", lineterminator="\r\n")
units = pd.MultiIndex.from_tuples([("time", "s"), ("signal", "mV"), ("gate", "V")])
pd.DataFrame(both, columns=units).to_csv(folder / "to_csv_units.csv", index=False)
gaps = table.copy()
gaps.iloc[7, 1] = np.nan
gaps.to_csv(folder / "to_csv_gap.csv", index=False)

np.save(folder / "rows.npy", both)
np.save(folder / "columns_big_endian.npy", both.T.astype(">f8"))
np.save(folder / "fortran.npy", np.asfortranarray(both))
np.save(folder / "float32.npy", both.astype("<f4"))
np.save(folder / "half.npy", signal.astype("<f2"))
np.save(folder / "int16.npy", np.round(signal).astype("<i2"))
np.save(folder / "int64.npy", np.array([1, -2, 2**53 + 1, 2**62], dtype="<i8"))
fields = np.zeros(n, dtype=[("time (s)", "<f8"), ("signal (mV)", "<f4"), ("gate (V)", "|u1"), ("mark", "S3")])
fields["time (s)"], fields["signal (mV)"], fields["gate (V)"], fields["mark"] = time, signal, gate, b"ok"
np.save(folder / "fields.npy", fields)
nested = np.zeros(4, dtype=[("time", "<f8"), ("pair", "<f8", (2,))])
np.save(folder / "nested.npy", nested)
np.save(folder / "cube.npy", np.zeros((2, 3, 4)))
np.save(folder / "complex.npy", np.zeros(3, dtype=complex))
np.save(folder / "version3.npy", np.zeros(2, dtype=[("Ω", "<f8")]))
with open(folder / "version2.npy", "wb") as file:
    np.lib.format.write_array(file, both, version=(2, 0))
np.savez(folder / "plain.npz", **{"time (s)": time, "signal (mV)": signal, "dt": np.float64(1e-4)})
np.savez_compressed(folder / "compressed.npz", **{"time (s)": time, "signal (mV)": signal})
np.savez(folder / "lengths.npz", time=time, signal=signal[:-1])

# What NumPy reads back from its own texts, so that both readers can be compared number by number.
read = {
    name: np.genfromtxt(folder / name, **how).T.tolist()
    for name, how in {
        "savetxt_default.txt": {},
        "savetxt_header.txt": {},
        "savetxt_comma.csv": {"delimiter": ","},
        "savetxt_tab_crlf.txt": {"skip_header": 1},
    }.items()
}
json.dump({"time": time.tolist(), "signal_mV": signal.tolist(), "gate": gate.tolist(), "read": read},
          open(folder / "expected.json", "w"))
