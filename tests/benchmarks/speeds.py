"""Has the program become slower, beside a peer that is timed in the same run?

    python -m tests.benchmarks.speeds [--record]

A photograph is measured beside its own decoding, a wear curve is fitted beside
`scipy.optimize.curve_fit` of the same law, a log is read beside `csv.reader`. The ratios are held
against those recorded in speeds.toml; one that has grown by more than half ends with exit code 1.
"""

import argparse
import csv
import io
import statistics
import sys
import tempfile
import time
import tomllib
from pathlib import Path

import cv2
import numpy as np
import pandas as pd
from scipy.optimize import curve_fit

import edgetest as et
from edgetest.store.places import shipped

RECORDED = Path(__file__).with_name("speeds.toml")
GROWN = 1.5  # a ratio this much above the recorded one is a loss; runs differ by 10 to 20 %
PHOTO = shipped("sample_runs") / "billhook_temper_study" / "photos" / "H1_roll1_100_020.jpg"
CUTS = np.array([0.0, 10, 25, 50, 100, 150, 200, 300])
WIDTHS = np.sqrt(2.4**2 + 0.55 * CUTS) * np.array([1.02, 0.99, 1.0, 1.01, 0.98, 1.0, 1.02, 0.99])


def seconds(work, times):
    """Median time of a piece of work, the first time left out."""
    work()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def worn(cuts, fresh, rate):
    """A wedge worn flat at a constant volume a cut."""
    return np.sqrt(fresh**2 + rate * cuts)


def pairs(folder):
    """Name -> (the program's work, its peer's, how often each)."""
    encoded = np.frombuffer(PHOTO.read_bytes(), np.uint8)
    log = pd.DataFrame({"blade": "A", "cuts": CUTS, "edge_width_um": WIDTHS})
    table = folder / "log.csv"
    rows = "".join(f"A,{cut},20,7.{cut % 10}\n" for cut in range(20_000))
    table.write_text(f"blade,cuts,station_mm,edge_width_um\n{rows}", encoding="utf-8")
    text = table.read_text(encoding="utf-8")
    return {
        "photograph beside its decoding": (
            lambda: et.measure(PHOTO, um_per_px=0.4),
            lambda: cv2.imdecode(encoded, cv2.IMREAD_GRAYSCALE),
            (5, 200),
        ),
        "wear curve beside curve_fit": (
            lambda: et.fit(log, limit=12),
            lambda: curve_fit(worn, CUTS, WIDTHS, p0=(2.0, 0.5)),
            (5, 200),
        ),
        "log of 20,000 rows beside csv.reader": (
            lambda: et.read_log(table),
            lambda: list(csv.reader(io.StringIO(text))),
            (3, 20),
        ),
    }


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--record", action="store_true", help="write the ratios of this run")
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = {
            name: seconds(work, often[0]) / seconds(peer, often[1])
            for name, (work, peer, often) in pairs(Path(folder)).items()
        }
    if wanted.record:
        lines = [f'"{name}" = {ratio:.3g}\n' for name, ratio in found.items()]
        RECORDED.write_text("".join(lines), encoding="utf-8")
    recorded = tomllib.loads(RECORDED.read_text(encoding="utf-8"))
    slower = [name for name, ratio in found.items() if ratio > GROWN * recorded[name]]
    print("| work beside its peer | ratio | recorded |\n| --- | --- | --- |")
    for name, ratio in found.items():
        print(f"| {name} | {ratio:.3g} | {recorded[name]:.3g} |")
    if slower:
        sys.exit(f"slower than recorded by more than half: {', '.join(slower)}")


if __name__ == "__main__":
    main()
