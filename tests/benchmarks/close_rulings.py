"""Lines of a stage micrometer so near to each other that the lens runs them together.

Run: python -m tests.benchmarks.close_rulings
Rendered rulings (kind "close" of `scale_accuracy`), told apart by their pitch over the blur; a
scale is wrong that is off by more than 1 %.
"""

from collections import Counter

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.scale.ruling_scale import scale_from_ruling
from tests.benchmarks.scale_accuracy import picture
from tests.photo.light import linear

PICTURES, SEED = 600, 5
ENDS = (2.0, 2.7, 3.0, 3.5, 4.0)
OFF = 0.01


def outcome(grey, truth):
    """Read right, refused, or read wrong without a word."""
    try:
        scale = scale_from_ruling(linear(grey), truth["pitch_um"])
    except UnusableInput:
        return "refused"
    return "right" if abs(scale.um_per_px / truth["um_per_px"] - 1) < OFF else "wrong"


def main():
    """Print the table."""
    rng, found = np.random.default_rng(SEED), Counter()
    for _ in range(PICTURES):
        grey, truth, options = picture(rng, "close")
        pitch_px = truth["pitch_um"] / truth["um_per_px"]
        at = int(np.searchsorted(ENDS, pitch_px / options["blur_px"]))
        found[at, outcome(grey, truth)] += 1
    print("| pitch over blur | pictures | read right | refused | wrong |")
    print("| --- | ---: | ---: | ---: | ---: |")
    for at in range(len(ENDS) + 1):
        low = f"{ENDS[at - 1]:g}" if at else "1.6"
        high = f"{ENDS[at]:g}" if at < len(ENDS) else "4.5"
        counts = [found[at, each] for each in ("right", "refused", "wrong")]
        print(f"| {low} to {high} | {sum(counts)} |", " | ".join(map(str, counts)), "|")


if __name__ == "__main__":
    main()
