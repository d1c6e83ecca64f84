"""How long a comparison takes: logs of many rows, logs of many blades, the sample run.

Run: OMP_NUM_THREADS=1 python -m tests.benchmarks.comparison_speed
Invented logs of edge widths; processor time of one thread, after all imports. A log is read from
its file, fitted, compared and put into words, as `edgetest compare` does.
"""

import tempfile
from pathlib import Path
from time import process_time

import numpy as np

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.study_readings import readings_of_study
from edgetest.study.wear.wear_answer import comparison_of

LIMIT = 10.0
# blades, stages, stations of a log
LOGS = {
    "6 blades of 6 stages": (6, 6, 3),
    "6 blades of 9 stages": (6, 9, 4),
    "200 blades of 9 stages": (200, 9, 4),
    "200 blades of 6 stages": (200, 6, 3),
    "20,000 rows": (40, 50, 10),
    "100,000 rows of 40 blades": (40, 250, 10),
    "100,000 rows of 400 blades": (400, 25, 10),
}
SAMPLE = Path(__file__).parents[2] / "sample_runs" / "billhook_temper_study"


def write_log(path, blades, stages, stations, rng):
    """A log of two heat treatments whose lives are some 240 and 300 cuts."""
    cuts = np.unique(np.linspace(0, 400, stages).round()).astype(int)
    rows = ["blade,heat_treatment,cuts,station_mm,edge_width_um"]
    for blade in range(blades):
        treatment, median = (("purple", 240), ("straw", 300))[blade % 2]
        life = median * np.exp(0.12 * rng.standard_normal())
        place = 0.05 * rng.standard_normal(stations)
        for n in cuts:
            noise = place + 0.05 * rng.standard_normal(stations)
            widths = np.sqrt(4 + (LIMIT**2 - 4) / life * n) * np.exp(noise)
            rows += [
                f"b{blade + 1},{treatment},{n},{20 + 10 * k},{width:.2f}"
                for k, width in enumerate(widths)
            ]
    path.write_text("\n".join(rows) + "\n")
    return len(rows) - 1


def times(path, options):
    """Processor time of reading and of the rest."""
    begin = process_time()
    source = open_source(path)
    read = process_time()
    readings_of_study(source, "edge_width_um").columns()
    gathered = process_time()
    comparison_of(source, options).words()
    return read - begin, gathered - read, process_time() - gathered


def main():
    """Print the table."""
    rng = np.random.default_rng(20261126)
    print(f"{'':<28s}{'rows':>8s}{'read':>9s}{'gathered':>10s}{'compared':>10s}  seconds")
    with tempfile.TemporaryDirectory() as folder:
        warm = Path(folder) / "warm.csv"
        write_log(warm, 4, 5, 2, rng)
        times(warm, AnalysisOptions(limit=LIMIT))
        for name, size in LOGS.items():
            path = Path(folder) / "log.csv"
            rows = write_log(path, *size, rng)
            read, gathered, compared = times(path, AnalysisOptions(limit=LIMIT))
            print(f"{name:<28s}{rows:>8d}{read:>9.2f}{gathered:>10.2f}{compared:>10.2f}")
    times(SAMPLE, AnalysisOptions())  # its photographs are measured once
    read, gathered, compared = times(SAMPLE, AnalysisOptions())
    print(f"{'billhook sample run':<28s}{'':>8s}{read:>9.3f}{gathered:>10.3f}{compared:>10.3f}")


if __name__ == "__main__":
    main()
