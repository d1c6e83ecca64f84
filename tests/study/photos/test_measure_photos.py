"""A kept measurement holds for what it was made with, and for nothing else."""

import json
from dataclasses import replace
from pathlib import Path

import cv2
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import Lighting
from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.photos.corrections import Correction
from edgetest.study.photos.many_photos import ALONE, measure_many
from edgetest.study.photos.measure_changed import measure_tasks
from edgetest.study.photos.measure_photos import Task, pictures_in
from edgetest.study.photos.picture_key import task_key
from edgetest.study.photos.side_views import measure_side_view

TASK = Task(Path("edge.png"), 0.4, 0.01, scale_name="near", tone="srgb", size_px=(640, 480))


@pytest.mark.parametrize(
    "change",
    [
        {"um_per_px": 0.41},
        {"relative_u": 0.02},
        {"blur_px": 1.5},
        {"tone": "linear"},
        {"size_px": (480, 640)},
        {"lighting": Lighting("on-axis", 0.1)},
        {"correction": Correction(region=(0, 0, 50, 50))},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_measurement_is_made_again_where_its_terms_changed(change):
    assert task_key(replace(TASK, **change), "sum") != task_key(TASK, "sum")


def test_a_measurement_is_kept_where_only_a_name_changed():
    assert task_key(replace(TASK, scale_name="far"), "sum") == task_key(TASK, "sum")
    assert task_key(TASK, "other sum") != task_key(TASK, "sum")


def test_one_faulty_photograph_leaves_the_others_measured(tmp_path):
    """A file that is gone, one that breaks off, one whose scale is no number; then a good one."""
    picture, truth = render_apex(width_um=18.0, shape=(300, 400))
    for name in ("good", "typed"):
        cv2.imwrite(str(tmp_path / f"{name}.png"), picture)
    (tmp_path / "short.png").write_bytes((tmp_path / "good.png").read_bytes()[:3000])
    scales = {"gone": 1.0, "short": 1.0, "typed": "1,0", "good": 1.0}
    tasks = [Task(tmp_path / f"{name}.png", scale) for name, scale in scales.items()]
    *faulty, good = measure_many(tasks)
    codes = [result.numbers["reasons"][0]["code"] for result in faulty]
    assert codes == ["unreadable_file", "damaged_file", "program_fault"]
    assert faulty[0].photo in faulty[0].doubts[0].where.file
    assert good.numbers["width_um"]["mean"] == pytest.approx(truth["width_um"], rel=0.01)
    assert [result.numbers["status"] for result in measure_tasks(tasks, tmp_path)] == [
        "refused", "refused", "refused", "measured"
    ]  # fmt: skip


def test_a_side_view_that_is_gone_is_refused(tmp_path):
    result = measure_side_view(tmp_path / "gone.png", 1.0)
    assert [one.code for one in result.doubts] == ["unreadable_file"]
    json.dumps(result.to_dict(), allow_nan=False)


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(UnusableInput, match="check its name"):
        pictures_in(tmp_path / "nowhere")


def test_a_relative_path_is_read_from_where_the_caller_stands(tmp_path, monkeypatch, on_cores):
    """Processes live on between calls, and keep the folder that they began in."""
    names = [Path(f"{number}.png") for number in range(ALONE + 1)]
    for place in ("first", "second"):
        (tmp_path / place).mkdir()
        monkeypatch.chdir(tmp_path / place)
        for name in names:
            cv2.imwrite(str(name), render_apex(width_um=18.0, shape=(240, 320))[0])
        found = measure_many([Task(name, 1.0) for name in names], workers=2)
        assert all(result.measured for result in found)
        for name in names:
            name.unlink()
