"""What is a person told of a shot before it is kept, by kind of picture, and in what time?

    python -m tests.benchmarks.shot_words FOLDER [PARITY [COUNT]]

FOLDER holds pictures kept by `tests.benchmarks.pictures.keep`; PARITY 1 (as by default) takes the
odd seeds, that chose no threshold. Then pairs of one stretch, the land worn wider between them and
the camera shifted, are laid on each other, and pairs of different stretches. Each picture is looked
at once more as the browser sends it of a running camera.
"""

import platform
import sys
import time
from collections import Counter, defaultdict
from dataclasses import replace
from itertools import islice

import cv2
import numpy as np

from edgetest.photo.apex.shot_check import check_shot
from edgetest.photo.linear_light import linear_light
from edgetest.photo.same_place import place_again
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.keep import kept
from tests.benchmarks.pictures.recipe import made
from tests.benchmarks.pictures.recipe_draws import plain_recipe

KINDS = (
    "hard", "cameras", "tones", "turned", "chipped", "dusty", "wide", "plain", "narrow", "round",
    "defocused", "soft", "motion", "overexposed", "dark", "noise", "leaving", "partial",
    "no contrast", "inverted", "two bands", "several", "glints", "no edge", "micrometer", "ring",
    "dome",
)  # fmt: skip
PAIRS = 40


def words_by_kind(folder, parity, count):
    """Print the first word of every picture of each kind, and how often a frame gets it too."""
    spent, alike = [], 0
    for kind in KINDS:
        words = defaultdict(Counter)
        for shot in islice(kept(folder, kind, parity), count):
            picture = read_picture(shot.data, name=kind)
            start = time.process_time()
            check = check_shot(picture)
            spent.append(1000 * (time.process_time() - start))
            first = check.doubts[0].code if check.doubts else "good"
            mild = check.good and check.doubts
            words[shot.cause or "good"][f"({first})" if mild else first] += 1
            frame = check_shot(read_picture(as_frame(shot.data), name=kind))
            alike += first == (frame.doubts[0].code if frame.doubts else "good")
        for cause, told in words.items():
            print(f"| {kind} | {cause} | {', '.join(f'{n} {w}' for w, n in told.most_common())} |")
    print("milliseconds: median, 95 %, most", np.round(np.quantile(spent, [0.5, 0.95, 1]), 1))
    print(f"{alike} of {len(spent)} get the same first word as a frame of the running camera")


def as_frame(data):
    """A picture as the browser sends it of a running camera: see app/bench/live_camera.js."""
    shown = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    return cv2.imencode(".jpg", shown, [cv2.IMWRITE_JPEG_QUALITY, 92])[1].tobytes()


def worn_pair(seed):
    """One stretch before and after wear, and by how much the camera was shifted; or None."""

    def taken(growth):
        rng = np.random.default_rng([seed, 78])
        recipe = plain_recipe(rng, float(rng.uniform(9, 30)))
        apex = replace(recipe.apex, flat_um=recipe.apex.flat_um * growth)
        shot = made(replace(recipe, apex=apex), np.random.default_rng([seed, 6]))
        return read_picture(shot.data, name="pair").grey

    rng = np.random.default_rng(seed)
    last, new = taken(1.0), taken(float(rng.uniform(1.1, 2.0)))
    if last.shape != new.shape:
        return None
    rows, cols = last.shape
    down, right = (
        int(most * n * rng.uniform()) for most, n in zip((0.1, 0.35), (rows, cols), strict=True)
    )
    new = new[: rows - down, : cols - right]
    return _light(last[down:, right:]), _light(new), (down, right)


def _light(grey):
    return linear_light(np.ascontiguousarray(grey), "linear")


def places(parity):
    """Print how often a shift is told, and how well."""
    pairs = [pair for k in range(PAIRS) if (pair := worn_pair(2 * k + parity)) is not None]
    off, untold = [], 0
    for last, new, (down, right) in pairs:
        place = place_again(last, new)
        if place.found:
            far = max(abs(place.right_px - right), abs(place.down_px - down))
            off.append(far / place.step_px)
        untold += not place.found
    print(f"{len(pairs)} worn pairs: {untold} not told; steps off: median, 90 %, most",
          np.round(np.quantile(off, [0.5, 0.9, 1]), 1))  # fmt: skip
    told = tried = 0
    for k, (last, _, _) in enumerate(pairs):
        for _, new, _ in pairs[k + 1 : k + 4]:
            rows, cols = np.minimum(last.grey.shape, new.grey.shape)
            tried += 1
            told += place_again(
                _light(last.grey[:rows, :cols]), _light(new.grey[:rows, :cols])
            ).found
    print(f"{tried} pairs of different stretches: {told} told")


def main(folder, parity=1, count=60):
    cv2.setNumThreads(1)
    print(platform.python_version(), platform.machine(), cv2.__version__)
    words_by_kind(folder, int(parity), int(count))
    places(int(parity))


if __name__ == "__main__":
    main(*sys.argv[1:])
