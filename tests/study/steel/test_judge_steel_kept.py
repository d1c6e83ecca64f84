"""A headline is tried with other numbers once, and anew where anything that decides it changed."""

import shutil

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.survives import Survival
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped
from edgetest.study.steel import judge_steel as judging
from edgetest.study.steel.evidence_edit import add_row
from tests.study.steel.found_steel import make_study


@pytest.fixture
def tines(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))
    shutil.copytree(shipped("sample_runs") / "harrow_tine_study", tmp_path / "s")
    return tmp_path / "s"


@pytest.fixture
def tried(monkeypatch, numbers_tried):
    """How often the numbers were tried; each time another answer."""
    count = []

    def survives(*given, **more):
        count.append(1)
        return Survival(0, 0, len(count), ())

    monkeypatch.setattr(judging, "survives", survives)
    return count


def test_the_same_evidence_is_tried_once(tines, tried):
    first = judging.judge_steel(tines, workers=1)
    assert first.moved.what == "its sparks"
    assert first.moved_words() == ""  # its chances are not told while two things disagree
    again = judging.judge_steel(tines, workers=1)
    assert (again.survival, again.moved) == (first.survival, first.moved)
    assert len(tried) == 1


def test_another_row_is_tried_anew(tines, tried):
    judging.judge_steel(tines, workers=1)
    add_row(
        tines, "heats", {"piece": "tine", "coupon": "T9", "heat": 1, "fracture": "snapped clean"}
    )
    judging.judge_steel(tines, workers=1)
    assert len(tried) == 2


def test_blades_alone_are_no_found_steel(tmp_path, tried):
    study = make_study(tmp_path / "blades alone", blades="hardness_hrc = [57.5, 58]")
    with pytest.raises(UnusableInput, match="this study holds no found steel; write down what was"):
        judging.judge_steel(study, workers=1)
    heat = '[[evidence.heats]]\ncoupon = "a"\nmedium = "oil"\nhardness_below = 62\n'
    study = make_study(tmp_path / "heats alone", evidence=heat)
    assert judging.judge_steel(study, workers=1).survival is not None
