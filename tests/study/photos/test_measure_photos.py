"""A kept measurement holds for what it was made with, and for nothing else."""

from dataclasses import replace
from pathlib import Path

import pytest

from edgetest.study.photos.corrections import Correction
from edgetest.study.photos.measure_photos import Task, task_key

TASK = Task(Path("edge.png"), 0.4, 0.01, scale_name="near", tone="srgb", size_px=(640, 480))


@pytest.mark.parametrize(
    "change",
    [
        {"um_per_px": 0.41},
        {"relative_u": 0.02},
        {"blur_px": 1.5},
        {"tone": "linear"},
        {"size_px": (480, 640)},
        {"correction": Correction(region=(0, 0, 50, 50))},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_measurement_is_made_again_where_its_terms_changed(change):
    assert task_key(replace(TASK, **change), "sum") != task_key(TASK, "sum")


def test_a_measurement_is_kept_where_only_a_name_changed():
    assert task_key(replace(TASK, scale_name="far"), "sum") == task_key(TASK, "sum")
    assert task_key(TASK, "other sum") != task_key(TASK, "sum")
