"""Photographs that give no reading are named with what is wrong with them."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.study_readings import _which


def refused(name, code):
    return SimpleNamespace(photo=name, numbers={"reasons": [{"code": code}]})


@pytest.mark.parametrize(
    ("photos", "told"),
    [
        ([("a.jpg", "out_of_focus")], "out of focus a.jpg"),
        (
            [("a.jpg", "no_scale"), ("b.jpg", "out_of_focus"), ("c.jpg", "out_of_focus")],
            "out of focus b.jpg, c.jpg; no scale a.jpg",
        ),
        (
            [(f"{n}.jpg", "no_band") for n in range(5)],
            "no band 0.jpg, 1.jpg, 2.jpg and 2 more",
        ),
    ],
)
def test_the_first_of_each_fault_are_named(photos, told):
    assert _which([refused(*one) for one in photos]) == told
