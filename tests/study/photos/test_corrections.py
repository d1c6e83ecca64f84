"""Corrections of photographs: both measurements kept, stretches and chips struck out."""

import json
import shutil
from dataclasses import replace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_result import Chip
from edgetest.store.places import shipped
from edgetest.study.photos.corrections import correct, corrections, read_entries, stretch_between
from edgetest.study.photos.measure_changed import measure_tasks
from edgetest.study.photos.measure_photos import Task, _without_struck, measure_photo
from edgetest.study.photos.measured_table import read_measured, read_rows

PHOTO = "S1_roll1_200_040.jpg"
WHO = {"who": "maker", "when": "2026-11-20T10:00"}


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "photos").mkdir()
    source = shipped("sample_runs") / "billhook_temper_study" / "photos" / PHOTO
    shutil.copyfile(source, tmp_path / "photos" / PHOTO)
    return tmp_path


@pytest.fixture
def task(folder):
    return Task(folder / "photos" / PHOTO, 0.4, tone="srgb")


def test_the_automatic_measurement_stays_beside_the_corrected_one(folder, task):
    automatic = measure_tasks([task], folder)[0]
    assert automatic.automatic is None
    changed = correct(folder, PHOTO, "um_per_px", [0.8, 0.01], **WHO)
    assert (changed.um_per_px, changed.relative_u) == (0.8, 0.01)
    corrected = measure_tasks([replace(task, correction=changed)], folder)[0]
    assert corrected.automatic == automatic.numbers
    assert corrected.numbers["width_um"]["mean"] == pytest.approx(
        2 * automatic.numbers["width_um"]["mean"], rel=1e-9
    )
    rows = read_rows(folder)
    assert set(rows) == {(PHOTO, False), (PHOTO, True)}
    assert rows[PHOTO, False]["numbers"] == automatic.numbers
    assert read_measured(folder)[PHOTO]["numbers"]["scale"]["um_per_px"] == 0.8
    assert corrected.to_dict()["automatic"] == automatic.numbers


def test_a_correction_taken_back_leaves_the_automatic_row_alone(folder, task):
    changed = correct(folder, PHOTO, "um_per_px", 0.8, **WHO)
    measure_tasks([replace(task, correction=changed)], folder)
    measure_tasks([task], folder)
    assert set(read_rows(folder)) == {(PHOTO, False)}


def test_a_stretch_struck_out_is_not_measured(folder, task):
    whole = measure_photo(task).measurement
    path = whole.centre_rc
    a, b = path[len(path) // 4], path[len(path) // 2]
    first, last = stretch_between(whole, b, a)
    assert first == pytest.approx(whole.position_um[len(path) // 4])
    assert last == pytest.approx(whole.position_um[len(path) // 2])
    changed = correct(folder, PHOTO, "struck_out", [[first, last]], **WHO)
    part = measure_photo(replace(task, correction=changed)).measurement
    inside = (part.position_um >= first) & (part.position_um <= last)
    assert not part.used[inside].any()
    assert np.array_equal(part.used[~inside], whole.used[~inside])


def test_points_at_one_place_of_the_edge_are_no_stretch(task):
    whole = measure_photo(task).measurement
    with pytest.raises(UnusableInput, match="drag along the edge"):
        stretch_between(whole, whole.centre_rc[5], whole.centre_rc[5])


def test_a_chip_struck_out_is_no_chip(task):
    chips = (Chip(10.0, 4.0, 2.0), Chip(60.0, 8.0, 5.0))
    whole = replace(measure_photo(task).measurement, chips=chips)
    assert _without_struck(whole, ((55.0, 65.0),)).chips == chips[:1]
    assert _without_struck(whole, ()).chips == chips


def test_another_region_takes_the_stretches_back(folder):
    correct(folder, PHOTO, "struck_out", [[10.0, 20.0]], **WHO)
    correct(folder, PHOTO, "region", [0, 0, 100, 200], **WHO)
    assert corrections(folder)[PHOTO].struck_out == ()
    told = [(entry.kind, entry.before, entry.after) for entry in read_entries(folder)]
    assert told == [
        ("struck_out", [], [[10.0, 20.0]]),
        ("struck_out", [[10.0, 20.0]], None),
        ("region", None, [0, 0, 100, 200]),
    ]


def test_a_region_that_is_none_is_named_with_its_photograph(tmp_path):
    line = {"photo": "a.jpg", "kind": "region", "before": None, "after": ["a", 2], "who": "x"}
    text = json.dumps({**line, "when": "now"}) + "\n"
    (tmp_path / "corrections.jsonl").write_text(text, encoding="utf-8")
    with pytest.raises(UnusableInput, match=r"corrections.jsonl, a.jpg: a region is four numbers"):
        corrections(tmp_path)
