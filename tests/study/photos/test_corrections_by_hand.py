"""Corrections as they are written and read back: what each kind may say, each side of its limit."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.study.photos.corrections import (
    CORRECTIONS_FILE,
    NO_CORRECTION,
    Correction,
    CorrectionEntry,
    applied,
    correct,
    corrections,
    read_entries,
    stretch_between,
)


def entry(kind, after):
    return CorrectionEntry("a.png", kind, None, after, "me", "now")


@pytest.mark.parametrize(
    ("kind", "after", "found"),
    [
        ("region", [1, 2.5, 3, 4], Correction(region=(1, 2.5, 3, 4))),
        ("region", None, NO_CORRECTION),
        ("struck_out", [[1, 2], [5.5, 7]], Correction(struck_out=((1, 2), (5.5, 7)))),
        ("struck_out", [], NO_CORRECTION),
        ("um_per_px", 0.5, Correction(um_per_px=0.5)),
        ("um_per_px", [0.5, 0.02], Correction(um_per_px=0.5, relative_u=0.02)),
        ("um_per_px", [0.5, 0], Correction(um_per_px=0.5)),
        ("um_per_px", None, NO_CORRECTION),
    ],
)
def test_each_kind_says_its_setting(kind, after, found):
    assert applied(NO_CORRECTION, entry(kind, after)) == found
    assert applied(found, entry(kind, None)) == NO_CORRECTION


@pytest.mark.parametrize(
    ("kind", "after"),
    [
        ("region", [1, 2, 3]), ("region", [1, 2, 3, True]), ("region", [1, 2, 3, "4"]),
        ("region", [1, 2, 3, 1e9]), ("region", [1, 2, 3, -1e9]), ("region", {"a": 1}),
        ("struck_out", [[1, 2, 3]]), ("struck_out", [1, 2]), ("struck_out", "12"),
        ("um_per_px", -0.5), ("um_per_px", [0.5, 1]), ("um_per_px", [0.5, -0.1]),
        ("um_per_px", [0.5]), ("um_per_px", "0.5"), ("um_per_px", [0, 0.1]),
        ("tone", 1),
    ],
)  # fmt: skip
def test_what_no_page_writes_is_refused(kind, after):
    with pytest.raises(UnusableInput, match=r"corrections\.jsonl, a\.png"):
        applied(NO_CORRECTION, entry(kind, after))


def test_settings_are_kept_beside_one_another():
    both = applied(Correction(um_per_px=0.5, relative_u=0.02), entry("region", [1, 2, 3, 4]))
    assert both == Correction((1, 2, 3, 4), (), 0.5, 0.02)
    assert both.key() != NO_CORRECTION.key() == ""


def put(folder, kind, after, photo="a.png"):
    return correct(folder, photo, kind, after, who="me", when="now")


def test_stretches_are_taken_back_by_another_region_or_scale(tmp_path):
    put(tmp_path, "struck_out", [[1, 2]])
    assert put(tmp_path, "struck_out", [[1, 3]]).struck_out == ((1, 3),)
    assert put(tmp_path, "um_per_px", 0.5) == Correction(um_per_px=0.5)
    kinds = [(one.kind, one.before, one.after) for one in read_entries(tmp_path)]
    assert [kind for kind, *_ in kinds] == ["struck_out", "struck_out", "struck_out", "um_per_px"]
    assert kinds[2][2] is None
    assert put(tmp_path, "region", [1, 2, 3, 4]).um_per_px == 0.5
    assert len(read_entries(tmp_path)) == 5
    put(tmp_path, "um_per_px", 0.7, "b.png")
    assert corrections(tmp_path)["a.png"] == Correction((1, 2, 3, 4), (), 0.5)
    assert corrections(tmp_path)["b.png"].um_per_px == 0.7
    assert [one.before for one in read_entries(tmp_path)][-2] is None


def test_a_line_that_is_no_correction_names_itself(tmp_path):
    put(tmp_path, "um_per_px", 0.5)
    path = tmp_path / CORRECTIONS_FILE
    whole = path.read_text("utf-8")
    for wrong in ('{"photo": "a.png"}', whole.strip().replace('"me"', "1"),
                  whole.strip().replace('"a.png"', '"../a.png"')):  # fmt: skip
        path.write_text(f"{whole}{wrong}\n", "utf-8")
        with pytest.raises(UnusableInput, match="line 2"):
            read_entries(tmp_path)


def measured(name):
    path = np.column_stack([np.full(5, 10.0), np.arange(0, 50, 10.0)])
    return SimpleNamespace(**{name: path}, position_um=np.array([0.0, 5.0, 10.0, 15.0, 20.0]))


@pytest.mark.parametrize("name", ["centre_rc", "reference_rc"])
def test_a_stretch_lies_between_the_nearest_places_of_the_edge(name):
    assert stretch_between(measured(name), (0, 31), (20, 9)) == (5.0, 15.0)
    assert stretch_between(measured(name), (10, 9), (10, 31)) == (5.0, 15.0)
    assert stretch_between(measured(name), (10, 9), (10, 16)) == (5.0, 10.0)
    with pytest.raises(UnusableInput, match="same place of the edge"):
        stretch_between(measured(name), (10, 9), (10, 11))
