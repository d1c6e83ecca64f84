"""Surveys and focus stacks of the made pictures: joins, foreign frames, zooms, widths, time.

    python -m tests.benchmarks.sequence_accuracy [sequences per kind] [first seed]

Seeds go up by two: odd ones judge, even ones chose the thresholds. A join is right within two
pixels in the middle of the common part. Widths are against the clean borders where a frame lay.
"""

import sys
import tempfile
import time
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.frame_laying import lay
from edgetest.photo.frame_search import frame_of
from edgetest.store.images import read_picture
from edgetest.study.photos.surveys import measure_stack, survey
from tests.benchmarks.pictures.sequence_kinds import stacked, surveyed
from tests.benchmarks.pictures.sequences import STACKS, SURVEYS

RIGHT_PX = 2.0
HEAD = (
    "pictures", "sequences", "refused", "right joins", "wrong joins", "zoom: RMS error",
    "frame left out, named", "zoom named", "width: RMS error", "intervals that held",
)  # fmt: skip


def joins(taken, times):
    """Of every pair of neighbours: whether they overlap, were joined, rightly, and zoom's error."""
    walk = taken.sequence
    frames, laid = [], []
    for data in walk.frames:
        start = time.process_time()
        picture = read_picture(data).grey
        read = time.process_time()
        frames.append(frame_of(picture, frames[0] if frames else None))
        times.append((read - start, time.process_time() - read, picture.size))
    for number, (first, second) in enumerate(pairwise(frames)):
        start = time.process_time()
        found = lay(first, second)
        times[number] = (*times[number][:1], times[number][1] + time.process_time() - start,
                         times[number][2])  # fmt: skip
        step, (rows, cols) = walk.step(number), walk.shapes[number + 1]
        apart = number + 1 == walk.plan.gap or walk.plan.foreign in (number, number + 1)
        column, row = (cols - walk.shift_px(number)[0]) / 2, rows / 2
        true = (step @ [column, row, 1])[:2]
        got = (found.matrix @ [row, column, 1])[::-1]
        zoom = float(np.sqrt(np.linalg.det(step[:2, :2])))
        off = float(np.hypot(*(got - true)))
        laid.append((not apart, found.sure, off < RIGHT_PX, off, found.zoom - zoom))
    return laid


def true_width_um(taken):
    """Mean width of the clean land in the columns that were photographed."""
    truth, places = taken.truth, getattr(taken.sequence, "to_scene", ())
    width = np.asarray(truth.y2) - np.asarray(truth.y1)
    if hasattr(taken.sequence, "shapes"):
        first, last = places[0], places[-1]
        low = (first @ [0, 0, 1])[0]
        high = (last @ [taken.sequence.shapes[-1][1], 0, 1])[0]
        width = width[max(0, int(low)) : int(high)]
    return float(width.mean() * taken.um_per_px)


def written(taken, folder):
    """The frames as files."""
    paths = [Path(folder) / f"{number}.jpg" for number, _ in enumerate(taken.sequence.frames)]
    for path, data in zip(paths, taken.sequence.frames, strict=True):
        path.write_bytes(data)
    return paths


def measured(taken, call):
    """Error of the width (share), half interval (share), doubts; None where refused."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            return call(written(taken, folder), taken.um_per_px)
        except UnusableInput:
            return None


def one_survey(paths, um_per_px):
    found = survey(paths, um_per_px)
    return found.mean_um, (found.high_um - found.low_um) / 2, {one.code for one in found.doubts}


def one_stack(paths, um_per_px):
    result, _ = measure_stack(paths, um_per_px)
    width = result.measurement.width_um
    codes = {one.code for one in result.measurement.doubts}
    return None if width is None else (width.mean, (width.high - width.low) / 2, codes)


def row(kind, results, laid):
    """One line of the table."""
    got = [(found, true) for found, true in results if found is not None]
    off = np.array([found[0] / true - 1 for found, true in got])
    inside = [abs(found[0] - true) <= found[1] for found, true in got]
    told = [
        sum(code in found[2] for found, _ in got) for code in ("frame_left_out", "frames_zoomed")
    ]
    joined = ("", "", "")
    if laid is not None:
        common = [one for one in laid if one[0]]
        right = [one for one in common if one[1] and one[2]]
        wrong = sum(one[1] and not (one[0] and one[2]) for one in laid)
        zoom = f"{100 * np.sqrt(np.mean([one[4] ** 2 for one in right])):.3f} %" if right else ""
        joined = (f"{len(right)} of {len(common)}", wrong, zoom)
    rms = f"{100 * np.sqrt(np.mean(off**2)):.2f} %" if off.size else ""
    held = f"{sum(inside)} of {len(inside)}" if inside else ""
    cells = (kind, len(results), len(results) - len(got), *joined, *told, rms, held)
    print(f"| {' | '.join(str(cell) for cell in cells)} |", flush=True)


def main():
    cv2.setNumThreads(1)
    count, first = ([int(word) for word in sys.argv[1:3]] + [4, 1][len(sys.argv[1:3]) :])[:2]
    seeds, times = range(first, first + 2 * count, 2), []
    print(f"| {' | '.join(HEAD)} |\n|{' --- |' * len(HEAD)}")
    for kind in (*SURVEYS, "repeating"):
        walks = [surveyed(kind, seed) for seed in seeds]
        laid = [one for walk in walks for one in joins(walk, times)]
        row(kind, [(measured(walk, one_survey), true_width_um(walk)) for walk in walks], laid)
    for kind in STACKS:
        stacks = [stacked(kind, seed) for seed in seeds]
        row(f"stack {kind}", [(measured(s, one_stack), true_width_um(s)) for s in stacks], None)
    read, joined, pixels = np.array(times).sum(axis=0)
    each = f"{1000 * joined / len(times):.0f} ms a frame of {pixels / len(times):.0f} pixels"
    print(f"joining: {each}, {joined / read:.1f} times reading it")


if __name__ == "__main__":
    main()
