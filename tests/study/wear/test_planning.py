"""A plan: rolls shared, names kept out, readings left alone, scatter of earlier studies."""

import json

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.earlier_studies import shop_history
from edgetest.study.wear.planning import PlanOptions, make_plan
from edgetest.study.wear.saved_plan import save_plan
from edgetest.wear.plan.run_order import open_key
from tests.study.wear.logs_of_wedges import wedge_log


@pytest.fixture
def empty_study(tmp_path):
    treatments = [{"id": "soft", "title": "soft"}, {"id": "hard", "title": "hard"}]
    blades = [
        {"id": f"{letter}{i}", "heat_treatment": name}
        for letter, name in (("A", "soft"), ("B", "hard"))
        for i in (1, 2, 3)
    ]
    return new_study(
        tmp_path / "mine", "sisal_rope", "mine", blades=blades, heat_treatments=treatments,
        control="C",
    )  # fmt: skip


def test_a_plan_shares_every_roll_between_the_treatments_and_can_be_made_again(empty_study):
    source = open_source(empty_study.folder)
    rolls = ("roll 1", "roll 2", "roll 3")
    made, key = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    again, same_key = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    assert made.runs == again.runs
    assert key == same_key
    for roll in rolls:
        names = [run.treatment for run in made.runs if run.block == roll]
        assert sorted(names) == ["control", "hard", "soft"]
    assert open_key(key, made.fingerprint) == made.codes
    assert made.sd_assumed
    assert "assumed" in made.summary()


def test_a_saved_plan_writes_order_key_and_empty_log_but_no_names_into_the_json(empty_study):
    source = open_source(empty_study.folder)
    made, key = make_plan(source, PlanOptions(blocks=("roll 1", "roll 2", "roll 3"), seed=7))
    save_plan(source, made, key)
    again = open_source(empty_study.folder)
    assert again.study.plan["order"] == [[run.block, run.blade] for run in made.runs]
    assert again.faults == ()
    assert len({(row.block, row.blade) for row in again.log.rows}) == len(made.runs)
    assert not set(made.codes.values()) & set(json.dumps(made.to_dict()).split('"'))


def test_a_plan_leaves_a_log_with_readings_alone(empty_study):
    text = "blade,cuts,station_mm,edge_width_um\nA1,0,20,2.5\n"
    (empty_study.folder / "log.csv").write_text(text)
    source = open_source(empty_study.folder)
    made, key = make_plan(source)
    save_plan(source, made, key)
    assert (empty_study.folder / "log.csv").read_text() == text


def test_earlier_studies_give_the_scatter(tmp_path):
    rng = np.random.default_rng(5)
    folders = []
    for number in range(3):
        lives = {
            (t, f"{t}{i}"): m * np.exp(0.12 * rng.standard_normal())
            for t, m in (("soft", 100), ("hard", 150))
            for i in range(4)
        }
        study = new_study(
            tmp_path / f"study{number}", "sisal_rope", "earlier",
            blades=[{"id": b, "heat_treatment": t} for t, b in lives],
            heat_treatments=[{"id": "soft"}, {"id": "hard"}],
        )  # fmt: skip
        (study.folder / "log.csv").write_text(
            wedge_log(lives, {"soft": 2.4, "hard": 2.4}, rng=rng, cv=0.003)
        )
        folders.append(study.folder)
    history = shop_history(folders)
    assert history.studies == 3
    # 18 degrees of freedom: the standard error of the SD is about a sixth of it.
    assert 0.08 < history.sd_log_life < 0.17
