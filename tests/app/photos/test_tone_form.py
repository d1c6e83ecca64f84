"""The tone curve of a set-up's camera is asked for where its scale stands."""

import shutil

import pytest

from edgetest.photo.tone_steps import tone_of_steps
from edgetest.store.places import shipped
from edgetest.study.photos.tone_pictures import put_tone
from tests.app.test_navigation_pages import page


@pytest.fixture
def study(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", tmp_path / "plough_disc_study")
    return tmp_path / "plough_disc_study"


def tone_told():
    at = page("photographs", seconds=60)
    at.session_state["photographs.view"] = "Scale"
    at.run()
    assert not at.exception
    (label,) = [each.label for each in at.expander if each.label.startswith("Tone curve")]
    return label.rpartition(": ")[2]


def test_the_tone_of_a_set_up_is_told_where_its_scale_stands(study):
    put_tone(study, "", None)
    assert tone_told() == "not known"
    light = [0.9, 0.6, 0.4, 0.27, 0.18, 0.12, 0.08, 0.05]
    put_tone(study, "", tone_of_steps([each**0.5 for each in light], light).curve)
    assert tone_told() == "from grey steps"
