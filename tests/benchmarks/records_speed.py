"""How long a log takes to read and a reading to reach the disk; best of three.

Run: python -m tests.benchmarks.records_speed

Last come a study of 100,000 rows as `edgetest check` looks at it, and a log of 1,000,000 rows,
in seconds of the processor: they do not move with what else the machine does.
"""

import platform
import tempfile
import time
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.export import xlsx_bytes
from edgetest.store.journal import append_reading
from edgetest.store.logs import read_log
from edgetest.store.workspace import new_study
from edgetest.study.overview import overview
from edgetest.study.sources import open_source
from tests.study.test_overview_large import study_of


def best_of_three(work):
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    print(platform.python_version(), platform.machine(), platform.system())
    with tempfile.TemporaryDirectory() as root:
        study = new_study(Path(root) / "s", "sisal_rope", "Speed", blades=["K1", "K2"])
        rows = [f"K{1 + i % 2},{i},{i % 37 + 1}.5,{i % 5 + 1}" for i in range(20_000)]
        text = ("blade,cuts,edge_width_um,check_no\n" + "\n".join(rows)).encode()
        print(
            f"read 20,000 rows of CSV    {best_of_three(lambda: read_log(text, study=study)):.2f} s"
        )
        book = xlsx_bytes([line.split(",") for line in text.decode().splitlines()[:2001]])
        print(f"read 2,000 rows of XLSX    {best_of_three(lambda: read_log(book)):.2f} s")
        for length in (400, 4000):
            (study.folder / "log.csv").write_bytes(b"\n".join(text.splitlines()[: length + 1]))
            cuts = iter(range(1_000_000, 2_000_000))

            def append(cuts=cuts):
                row = {"blade": "K1", "cuts": next(cuts), "edge_width_um": 3}
                append_reading(study.folder, row)

            print(f"append to {length:,} rows       {best_of_three(append) * 1000:.1f} ms")
        print_large(Path(root))


def print_large(root):
    """Seconds of the processor for logs of 100,000 and of 1,000,000 rows."""
    folder = study_of(root / "large", 500, noted=100)
    start = time.process_time()
    overview(open_source(folder))
    print(f"check 100,000 rows        {time.process_time() - start:.2f} s")
    text = b"blade,cuts,edge_width_um\n" + b"K1,0,1.5\n" * 1_000_000
    start = time.process_time()
    try:
        read_log(text, name="log.csv")
    except UnusableInput as fault:
        print(f"1,000,000 rows            {time.process_time() - start:.2f} s: {fault}")


if __name__ == "__main__":
    main()
