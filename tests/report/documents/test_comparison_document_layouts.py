"""Nothing lies off a page or over another thing, from one blade to 48: read by `pdftotext`."""

import dataclasses
import re
import shutil
import subprocess

import cv2
import numpy as np
import pytest

from edgetest.doubts import doubt
from edgetest.report.documents.document import build_document
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.replicates import lives_known
from tests.report.documents.test_document import MADE
from tests.report.stand_ins import curve, photo, study_result

READER, PAINTER = shutil.which("pdftotext"), shutil.which("pdftoppm")
pytestmark = pytest.mark.skipif(not (READER and PAINTER), reason="needs poppler")
WORD = re.compile(r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>')
# Blades, heat treatments, photographs, paper, units.
CASES = {
    "one blade": (1, 1, 0, "a4", "metric"),
    "two": (2, 2, 1, "a4", "inch"),
    "48 of six": (48, 6, 1, "us-letter", "both"),
}


def result_of(folder, blades, treatments, photos):
    """A study of so many blades in so many heat treatments, with curves and photographs."""
    names = [f"B{k + 1}" for k in range(blades)]
    kinds = [f"temper {160 + 20 * (k % treatments)} °C" for k in range(blades)]
    lives = [200 * 1.2 ** (k % treatments) * (1 + 0.02 * (k % 5)) for k in range(blades)]
    against = None
    if treatments > 1:
        against = compare_lives(lives_known(names, kinds, np.log(lives)))
    found = study_result(
        folder,
        blades=[curve(name, life) for name, life in zip(names, lives, strict=True)],
        treatments=kinds,
        photos=[photo(folder, name, 400, 25.0, 12.0) for name in names[:photos]],
        against=against,
    )
    if treatments > 1:
        return found
    alone = dataclasses.replace(found.compared, comparison=None)
    why = doubt("no_comparison", why="one blade")
    return dataclasses.replace(found, compared=alone, study_doubts=(why,))


def pages_of(path):
    """Size of each page, and its words with their boxes (x, y, x, y), in points."""
    text = subprocess.run([READER, "-bbox", path, "-"], capture_output=True, check=True, text=True)
    for page in text.stdout.split("<page ")[1:]:
        wide, tall = map(float, re.match(r'width="(.*?)" height="(.*?)"', page).groups())
        words = [(each[4], *map(float, each[:4])) for each in WORD.findall(page)]
        yield wide, tall, words


def overlaps(words):
    """Pairs of words that lie over one another, by a fifth of the smaller one."""
    boxes = np.array([box for _, *box in words])
    size = np.prod(boxes[:, 2:] - boxes[:, :2], axis=1)
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    common = np.prod(np.clip(high - low, 0, None), axis=2)
    bad = np.triu(common > 0.2 * np.minimum(size[:, None], size[None, :]), 1)
    return [(words[i][0], words[j][0]) for i, j in np.argwhere(bad)]


def painted(path, folder):
    """Every page as darkness from 0 to 255, a pixel for each millimetre of it."""
    subprocess.run([PAINTER, "-r", "25.4", "-gray", path, folder / "page"], check=True)
    for page in sorted(folder.glob("page-*.pgm")):
        yield 255 - cv2.imread(str(page), cv2.IMREAD_GRAYSCALE).astype(int)


@pytest.mark.parametrize("case", CASES)
def test_nothing_lies_off_the_page_or_over_another_thing(case, tmp_path):
    blades, treatments, photos, paper, units = CASES[case]
    result = result_of(tmp_path, blades, treatments, photos)
    (path,) = build_document(
        result, tmp_path, kinds=["pdf"], paper=paper, units=units, photographs="inside",
        timestamp=MADE,
    )  # fmt: skip
    said = []
    for wide, tall, words in pages_of(path):
        said += [word for word, *_ in words]
        edges = np.array([box for _, *box in words])
        assert edges.min() > 28
        assert edges[:, 2].max() < wide - 28
        assert edges[:, 3].max() < tall - 28
        assert overlaps(words) == []
    numbers = re.findall(r"Figure (\d+):", " ".join(said).replace("\u00a0", " "))
    assert numbers == [str(k + 1) for k in range(len(numbers))]  # floats before photographs
    assert {f"B{k + 1}" for k in range(blades)} <= set(said)
    assert {f"{160 + 20 * k}" for k in range(treatments)} <= set(said)
    for page in painted(path, tmp_path):
        below_the_text = page[-21:-18]  # the margin is 22 mm, the foot begins 4 mm into it
        assert below_the_text.max() < 30
        assert max(page[:, :18].max(), page[:, -18:].max(), page[:16].max()) < 30
