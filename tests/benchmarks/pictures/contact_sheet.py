"""What do the kinds of made pictures look like? A sheet of examples of each.

python -m tests.benchmarks.pictures.contact_sheet SHEET.png [KIND ...]
"""

import sys

import cv2
import numpy as np

from tests.benchmarks.pictures.kinds import KINDS, picture

EXAMPLES = 5
TILE = (320, 240)  # columns and rows of an example on the sheet
NAMES = 120  # columns for the names of kinds


def _tile(data):
    shown = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    scale = min(TILE[0] / shown.shape[1], TILE[1] / shown.shape[0])
    small = cv2.resize(shown, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    tile = np.full((TILE[1] + 4, TILE[0] + 4, 3), 60, np.uint8)
    tile[2 : 2 + small.shape[0], 2 : 2 + small.shape[1]] = small
    return tile


def sheet(kinds) -> np.ndarray:
    """Examples of kinds, one kind a row: the whole picture, made small."""
    rows = []
    for kind in kinds:
        tiles = [_tile(picture(kind, seed).data) for seed in range(EXAMPLES)]
        name = np.full((TILE[1] + 4, NAMES, 3), 60, np.uint8)
        for line, word in enumerate(kind.split()):
            at = (4, 30 + 22 * line)
            cv2.putText(name, word, at, cv2.FONT_HERSHEY_SIMPLEX, 0.5, (255, 255, 255))
        rows.append(np.hstack([name, *tiles]))
    return np.vstack(rows)


if __name__ == "__main__":
    cv2.setNumThreads(1)
    cv2.imwrite(sys.argv[1], sheet(sys.argv[2:] or KINDS))
