"""What a study says of the scale of its typed widths widens lives, and no ratio."""

import re
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.study_readings import StudyReadings
from edgetest.study.wear.typed_scale import typed_scale_doubts, typed_scale_of
from edgetest.study.wear.wear_answer import comparison_of
from tests.study.wear.logs_of_wedges import wedge_log

LIVES = {("soft", "A1"): 100, ("soft", "A2"): 90, ("hard", "B1"): 150, ("hard", "B2"): 140}


@pytest.fixture
def typed(tmp_path):
    blades = [{"id": blade, "heat_treatment": name} for name, blade in LIVES]
    study = new_study(
        tmp_path / "s", "sisal_rope", "typed", blades=blades,
        heat_treatments=[{"id": "soft"}, {"id": "hard"}],
    )  # fmt: skip
    (study.folder / "log.csv").write_text(wedge_log(LIVES, {"soft": 2.5, "hard": 2.5}), "utf-8")
    return study.folder


def test_the_scale_of_typed_widths_widens_lives_and_leaves_the_ratio(typed):
    before = comparison_of(open_source(typed))
    toml = typed / "study.toml"
    toml.write_text("typed_scale_u = 0.08\n" + toml.read_text("utf-8"), "utf-8")
    after = comparison_of(open_source(typed))
    assert "typed_scale_not_noted" in codes(before.doubts)
    (one,) = [each for each in before.doubts if each.code == "typed_scale_not_noted"]
    assert "page Blades, under The study, or typed_scale_u = 0.02 in study.toml" in one.text
    assert "typed_scale_not_noted" not in codes(after.doubts)
    (told,) = [each for each in after.doubts if each.code == "typed_scale"]
    assert "8 %" in told.text
    for old, new in zip(before.fit.blades, after.fit.blades, strict=True):
        assert new.life.cuts == pytest.approx(old.life.cuts)
        # a life goes with the limit to the power of 2 or more
        assert np.log(new.life.high / new.life.low) > 2 * 1.96 * 2 * 0.08
        assert np.log(old.life.high / old.life.low) < 0.3
    for name in ("estimate", "low", "high"):
        assert getattr(after.ratio, name) == pytest.approx(getattr(before.ratio, name), rel=1e-6)


def test_a_share_without_a_scale_of_photographs_names_the_key_of_typed_widths(typed):
    with (typed / "study.toml").open("a", encoding="utf-8") as toml:
        toml.write("\n[scale]\nrelative_u = 0.08\n")
    with pytest.raises(UnusableInput, match=re.escape("typed_scale_u = 0.08 above all tables")):
        open_source(typed)


def found(reading, source, typed_scale_u=0.0):
    used = (SimpleNamespace(source=source, excluded=False),)
    return StudyReadings(reading, used, typed_scale_u=typed_scale_u)


def test_only_lives_to_a_limit_of_typed_widths_are_told_of_their_scale():
    said = codes(typed_scale_doubts(found("edge_width_um", "log", 0.02), 10.0))
    assert list(said) == ["typed_scale"]
    assert list(codes(typed_scale_doubts(found("w30_um", "log"), 10.0))) == [
        "typed_scale_not_noted"
    ]
    assert typed_scale_doubts(found("edge_width_um", "log"), None) == ()
    assert typed_scale_doubts(found("edge_width_um", "photograph"), 10.0) == ()
    assert typed_scale_doubts(found("sever_force_gf", "log"), 400.0) == ()
    assert typed_scale_of(SimpleNamespace(typed_scale_u=0.02), "sever_force_gf") == 0.0
