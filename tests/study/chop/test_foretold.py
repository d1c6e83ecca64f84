"""What geometry says of a tool: the same digits and draws as told anew, and told once."""

import numpy as np
import pytest

from edgetest.chop.predict import predict
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped
from edgetest.study.chop import foretold as module
from edgetest.study.chop.foretold import foretold
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.sources import open_chops


@pytest.fixture
def tool(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    study = open_chops(shipped("sample_runs") / "camp_hatchet_study").study
    (blade, shape), *_ = shapes_of(study).items()
    return outline_of(shape, study, ""), handling_of(study)[blade].hold(None)


def test_a_tool_is_foretold_once_with_the_same_digits_and_draws(tool, monkeypatch):
    by_hand, first, second = (np.random.default_rng(5) for _ in range(3))
    anew = predict(*tool, rng=by_hand)
    told = foretold(*tool, rng=first)
    monkeypatch.setattr(module, "predict", None)
    again = foretold(*tool, rng=second)
    assert told.to_dict() == again.to_dict() == anew.to_dict()
    assert by_hand.random() == first.random() == second.random()


def test_another_level_or_other_draws_are_told_anew(tool, monkeypatch):
    asked = []
    monkeypatch.setattr(module, "predict", lambda *_, rng, level: asked.append(level) or 1)
    for seed, level in ((5, 0.95), (5, 0.9), (6, 0.95), (5, 0.95)):
        assert foretold(*tool, rng=np.random.default_rng(seed), level=level) == 1
    assert asked == [0.95, 0.9, 0.95]
