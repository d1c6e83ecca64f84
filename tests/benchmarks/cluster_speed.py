"""How much faster do two workers measure than one, and does memory stay the same?

    python -m tests.benchmarks.cluster_speed 10000

makes that many photographs (24 rendered ones, each copy with bytes of its own), measures them by
the command on a cluster of one worker and then of two, and prints how long it took and what
memory the command and a worker held at each quarter of the way. Numbers are compared: both must
have found the same. `--size 1200 900` takes larger pictures.
"""

import argparse
import re
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import cv2
import numpy as np
import psutil

from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.photos.measured_table import MEASURED_FILE, read_measured

RENDERED = 24
EDGETEST = [sys.executable, "-m", "edgetest"]
LOOK_S = 1.0
MB = 1e6


def main():
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("photographs", type=int)
    parser.add_argument("--size", type=int, nargs=2, default=(640, 480), metavar=("COLS", "ROWS"))
    given = parser.parse_args()
    cv2.setNumThreads(1)
    with tempfile.TemporaryDirectory() as place:
        photos = Path(place) / "photos"
        size_mb = make_photos(photos, given.photographs, given.size)
        print(f"{given.photographs} photographs of {given.size[0]} x {given.size[1]} pixels, "
              f"{size_mb:.0f} MB\n")  # fmt: skip
        print("| workers | s | photographs/s | command MB at 25, 50, 75, 100 % | worker MB there |")
        print("| ---: | ---: | ---: | --- | --- |")
        took, found = {}, {}
        for count in (1, 2):
            kept = Path(place) / f"kept_{count}"
            took[count], memory = measured(photos, kept, count, given.photographs)
            found[count] = {name: row["numbers"] for name, row in read_measured(kept).items()}
            held = [", ".join(f"{each:.0f}" for each in column) for column in memory]
            speed = given.photographs / took[count]
            print(f"| {count} | {took[count]:.1f} | {speed:.2f} | {held[0]} | {held[1]} |",
                  flush=True)  # fmt: skip
    assert found[1] == found[2]
    assert len(found[1]) == given.photographs
    print(f"\ntwo workers measure {took[1] / took[2]:.2f} times as fast as one")


def make_photos(folder, count, size):
    """Write the photographs; how many MB they are."""
    folder.mkdir()
    rendered = []
    for number in range(min(RENDERED, count)):
        rng = np.random.default_rng(number)
        picture, _ = render_apex(width_um=6 + number, shape=(size[1], size[0]), rng=rng)
        rendered.append(cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 92])[1].tobytes())
    for number in range(count):  # what stands behind a JPEG's end mark is no part of its picture
        data = rendered[number % len(rendered)] + number.to_bytes(8, "big")
        (folder / f"p{number:06d}.jpg").write_bytes(data)
    return sum(len(data) for data in rendered) / len(rendered) * count / MB


@contextmanager
def workers(count):
    """Workers in processes of their own: the program that started them, and the address."""
    command = [*EDGETEST, "workers", "--count", str(count), "--port", "0"]
    started = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        yield started, re.search(r"tcp://[\d.:]+", started.stdout.readline())[0]
    finally:
        started.send_signal(signal.SIGINT)
        started.communicate(timeout=60)


def measured(photos, kept, count, total):
    """Seconds from the command's start to its end, and memory at each quarter: command, worker."""
    with workers(count) as (started, address):
        command = [*EDGETEST, "measure", str(photos), "--um-per-px", "1", "--keep-in", str(kept),
                   "--on", address]  # fmt: skip
        start = time.perf_counter()
        client = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        quarters, peak, table = [], [0.0, 0.0], Kept(kept)
        while client.poll() is None:
            peak = [max(pair) for pair in zip(peak, held_now(client, started), strict=True)]
            if table.rows() >= total * (len(quarters) + 1) / 4:
                quarters.append(peak)
                peak = [0.0, 0.0]
            time.sleep(LOOK_S)
        took = time.perf_counter() - start
        assert client.returncode == 0
    quarters += [peak] * (4 - len(quarters))
    return took, list(zip(*quarters, strict=True))


def held_now(client, started):
    """MB of the command, and of the worker that holds most."""
    found = []
    for process in (client.pid, *(each.pid for each in psutil.Process(started.pid).children(True))):
        try:
            found.append(psutil.Process(process).memory_info().rss / MB)
        except psutil.NoSuchProcess:
            found.append(0.0)
    return found[0], max(found[1:], default=0.0)


class Kept:
    """How many results are kept so far; only what was added is read."""

    def __init__(self, folder):
        self.path, self.at, self.lines = folder / MEASURED_FILE, 0, 0

    def rows(self):
        """Lines of the table behind its head; a result is one line."""
        if self.path.is_file():
            with open(self.path, "rb") as file:
                file.seek(self.at)
                added = file.read()
            self.at, self.lines = self.at + len(added), self.lines + added.count(b"\n")
        return self.lines - 1


if __name__ == "__main__":
    main()
