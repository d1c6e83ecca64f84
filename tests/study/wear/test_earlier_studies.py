"""The scatter of earlier studies: squares over degrees of freedom, readings taken out and told."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear import earlier_studies as module
from edgetest.study.wear.earlier_studies import (
    Earlier,
    earlier_studies,
    scatter_before,
    shop_history,
)
from edgetest.study.wear.expectations import believed_of
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.wear.compare.shop_history import BatchScatter
from tests.study.shop.test_load_scatter import BLADE, LOAD, runs
from tests.study.wear.logs_of_wedges import log_of

LIVES = {"soft": [100.0, 130.0, 150.0], "hard": [300.0, 360.0], "once": [200.0]}


def study(tmp_path, name, lives=LIVES):
    rows = ["blade,heat_treatment,life"]
    rows += [f"{t}{i},{t},{life:g}" for t, own in lives.items() for i, life in enumerate(own)]
    return log_of(tmp_path, "\n".join(rows), f"{name}.csv")


def test_squares_are_pooled_over_the_heat_treatments_that_have_several_blades(tmp_path):
    (found,) = earlier_studies([study(tmp_path, "one")]).scatters
    squares = sum(
        np.log(own).var(ddof=1) * (len(own) - 1) for own in LIVES.values() if len(own) > 1
    )
    assert found.df == 3
    assert found.sd == pytest.approx((squares / 3) ** 0.5)
    assert found.reading_se == 0.0
    history = shop_history([study(tmp_path, "one"), study(tmp_path, "two")])
    assert history.studies == 2
    assert shop_history([]) is None
    assert scatter_before([]) == (None, 0.0)


def test_a_blade_of_each_tells_nothing(tmp_path):
    with pytest.raises(UnusableInput, match="no heat treatment with two blades or more"):
        earlier_studies([study(tmp_path, "bare", {"soft": [100.0], "hard": [200.0]})])


def test_of_a_folder_those_alike_count_and_the_study_itself_does_not(tmp_path, monkeypatch):
    def remembered(name, protocol="rope", reading="force", invented=False):
        return SimpleNamespace(
            name=name, protocol=protocol, reading=reading, invented=invented, runs=()
        )

    held = [
        remembered("own"), remembered("like"), remembered("other", protocol="card"),
        remembered("width", reading="width"), remembered("made_up", invented=True),
        remembered("bare"),
    ]  # fmt: skip
    for one in held:
        (tmp_path / one.name).mkdir()
        (tmp_path / one.name / "study.toml").touch()
    monkeypatch.setattr(module, "remembered_studies", lambda folder, progress: held)
    monkeypatch.setattr(module, "_own_treatments", lambda one: None if one.name == "bare" else one)
    monkeypatch.setattr(module, "_scatter_of_lives", lambda one: one.name)
    source = SimpleNamespace(
        study=SimpleNamespace(protocol_name="rope", invented=False), path=tmp_path / "own"
    )
    found = earlier_studies([tmp_path], source, "force")
    assert found.scatters == ("like",)
    held[1] = remembered("like", protocol="card")
    with pytest.raises(UnusableInput):
        earlier_studies([tmp_path], source, "force")


def test_the_readings_part_is_taken_out_and_never_all_of_it():
    assert Earlier(0.10, 0.06, 4.0).own == pytest.approx(0.08)
    least = Earlier(0.10, 0.12, 4.0).own
    assert 0 < least < 0.08
    assert Earlier(0.20, 0.30, 4.0).own == pytest.approx(2 * least)


def test_a_life_beyond_the_readings_does_not_tell_how_surely_the_others_were_read(
    tmp_path, monkeypatch
):
    def answer(*_, **__):
        group = SimpleNamespace(n=3, sd_taken=0.13)
        lives = [SimpleNamespace(log_life_se=se, beyond_reach=se > 0.5) for se in (0.1, 0.9, 0.1)]
        curves = [SimpleNamespace(life=life) for life in (*lives, None)]
        return SimpleNamespace(
            comparison=SimpleNamespace(groups=[group]),
            fit=SimpleNamespace(blades=curves), has_curves=True,
        )  # fmt: skip

    monkeypatch.setattr(module, "comparison_of", answer)
    (found,) = earlier_studies([study(tmp_path, "one")]).scatters
    assert found.reading_se == pytest.approx(0.1)


def test_batches_that_earlier_studies_name_are_told_from_blades():
    rng = np.random.default_rng(1)
    told = [SimpleNamespace(read_runs=runs(rng), control="") for _ in range(300)]
    found = module._of_batches(told)
    assert found.between == pytest.approx(LOAD, rel=0.1)
    assert found.between_low < LOAD < found.between_high
    assert found.within == pytest.approx((BLADE**2 - 0.02**2) ** 0.5, rel=0.1)
    assert "batches of one heat treatment differ by about 21 % in life" in found.summary()
    bare = [SimpleNamespace(read_runs=runs(rng, noted=False), control="") for _ in range(3)]
    assert module._of_batches(bare) is None


def test_what_is_known_of_batches_takes_the_place_of_the_scatter_of_blades(tmp_path):
    source = open_source(new_study(tmp_path / "s", "sisal_rope", "x").folder)
    known = believed_of(source, PlanOptions(), 0.15, None, BatchScatter(0.1, 0.2, 0.1, 0.4))
    assert (known.expected.scatter.blades, known.expected.scatter.batches) == (0.1, 0.2)
    unknown = believed_of(source, PlanOptions(), 0.15, None)
    assert (unknown.expected.scatter.blades, unknown.expected.scatter.batches) == (0.15, 0.0)
