"""A plan: rolls shared, names kept out, readings left alone, scatter of earlier studies."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear import planning as module
from edgetest.study.wear.earlier_studies import scatter_before, shop_history
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import drawn_order, make_plan
from edgetest.study.wear.saved_plan import save_plan
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
    made = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    again = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    assert made.runs == again.runs
    for roll in rolls:
        names = [run.treatment for run in made.runs if run.block == roll]
        assert sorted(names) == ["control", "hard", "soft"]
    assert made.sd_assumed
    assert "assumed" in made.summary()


def test_a_saved_plan_writes_order_and_empty_log_and_seals_nothing_unasked(empty_study):
    source = open_source(empty_study.folder)
    made = make_plan(source, PlanOptions(blocks=("roll 1", "roll 2", "roll 3"), seed=7))
    save_plan(source, made)
    again = open_source(empty_study.folder)
    assert again.study.plan["order"] == [[run.block, run.blade] for run in made.runs]
    assert again.faults == ()
    assert len({(row.block, row.blade) for row in again.log.rows}) == len(made.runs)
    assert not any("seal" in path.name for path in empty_study.folder.iterdir())


def test_a_plan_leaves_a_log_with_readings_alone(empty_study):
    text = "blade,cuts,station_mm,edge_width_um\nA1,0,20,2.5\n"
    (empty_study.folder / "log.csv").write_text(text)
    source = open_source(empty_study.folder)
    made = make_plan(source)
    save_plan(source, made)
    assert (empty_study.folder / "log.csv").read_text() == text


def test_a_plan_that_asks_for_no_rolls_keeps_the_order_a_log_was_begun_in(empty_study):
    """Fixing looks once readings are there is not refused for an order that nobody asked for."""
    source = open_source(empty_study.folder)
    save_plan(source, make_plan(source, PlanOptions(blocks=("roll 1", "roll 2", "roll 3"), seed=7)))
    (empty_study.folder / "log.csv").write_text(
        "blade,cuts,station_mm,edge_width_um\nA1,0,20,2.5\n"
    )
    before = open_source(empty_study.folder)
    with pytest.raises(UnusableInput, match="another one"):
        save_plan(before, make_plan(before, PlanOptions()))
    kept = make_plan(before, PlanOptions(blocks=None, looks=True, most=12))
    save_plan(before, kept)
    after = open_source(empty_study.folder).study.plan
    assert after["order"] == before.study.plan["order"]
    assert after["seed"] == 7
    assert after["looks"]["sizes"][-1] == 12


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


PROTOCOLS = {
    "sisal_rope": {},
    "manila_rope": {},
    "corrugated_cardboard": {},
    "whittling_hardwood": {},
    "thread_severing": {"fresh": 200.0},
    "card_stock_abrasive": {"fresh": 50.0, "limit": 20.0},
    "billet_chop": {},
    "lumber_chop": {"fresh": 60.0},
    "single_chop": {},
}


def study_of(folder, protocol, **fields):
    blades = [{"id": f"{t}{i}", "heat_treatment": t} for t in ("soft", "hard") for i in (1, 2)]
    treatments = [{"id": "soft"}, {"id": "hard"}]
    return new_study(
        folder, protocol, "mine", blades=blades, heat_treatments=treatments, **fields
    ).folder


@pytest.mark.parametrize("protocol", [
    pytest.param(name, marks=pytest.mark.slow) if name in ("lumber_chop", "single_chop") else name
    for name in PROTOCOLS
])  # fmt: skip
def test_every_protocol_that_comes_with_the_program_has_a_plan(tmp_path, protocol):
    source = open_source(study_of(tmp_path / "s", protocol))
    made = make_plan(source, PlanOptions(ratio=1.3, sd_blades=0.1, **PROTOCOLS[protocol]))
    plan, said = made.to_dict(), made.summary()
    assert 2 <= plan["blades"] <= 60
    assert len(plan["curve"]) >= 3
    widths = source.study.reading_name == "edge_width_um"
    assert ("µm" in said) == widths
    assert ("photograph" in said) == (widths and plan["chosen"]["reading_se"] > 0.1)


def test_what_nothing_says_of_a_reading_is_asked_for_by_name_and_unit(tmp_path):
    thread = open_source(study_of(tmp_path / "thread", "thread_severing"))
    with pytest.raises(UnusableInput, match=r"what a fresh edge reads .* give --fresh in gf"):
        make_plan(thread)
    with pytest.raises(UnusableInput, match=r"400 is not above the fresh edge's 500 gf"):
        make_plan(thread, PlanOptions(fresh=500.0))
    card = open_source(study_of(tmp_path / "card", "card_stock_abrasive"))
    with pytest.raises(UnusableInput, match=r"at which card cut per cycle .* give --limit in mm"):
        make_plan(card)


def test_a_fresh_edge_reads_what_the_log_says_it_reads(tmp_path):
    folder = study_of(tmp_path / "thread", "thread_severing")
    rows = [f"soft1,0,{k},{value}" for k, value in enumerate((180, 190, 220), 1)]
    (folder / "log.csv").write_text("\n".join(["blade,cuts,check_no,sever_force_gf", *rows]))
    made = make_plan(open_source(folder))
    assert made.believed.fresh == 190


def test_batches_are_asked_for(tmp_path):
    source = open_source(study_of(tmp_path / "s", "sisal_rope"))
    assert "Batch" not in make_plan(source).title
    codes = {one.code for one in make_plan(source).doubts}
    assert "batches_unplanned" in codes
    named = [
        {"id": f"{t}{i}", "heat_treatment": t, "batch": f"{t} quench" if t == "hard" else f"q{i}"}
        for t in ("soft", "hard")
        for i in (1, 2)
    ]
    other = new_study(
        tmp_path / "named", "sisal_rope", "mine", blades=named,
        heat_treatments=[{"id": "soft"}, {"id": "hard"}],
    )  # fmt: skip
    found = {d.code: d.text for d in make_plan(open_source(other.folder)).doubts}
    assert "batches_unplanned" not in found
    assert "All blades of hard come from one batch" in found["one_batch_each"]
    assert "looks_count_batches" not in found
    looks = make_plan(open_source(other.folder), PlanOptions(looks=True)).doubts
    assert "looks_count_batches" in {one.code for one in looks}


@pytest.mark.slow
def test_the_history_of_a_plan_holds_no_readings_scatter(tmp_path):
    rng, folders = np.random.default_rng(6), []
    for number in range(4):
        lives = {
            (t, f"{t}{i}"): 120 * np.exp(0.05 * rng.standard_normal())
            for t in ("soft", "hard")
            for i in range(5)
        }
        folders.append(study_of(tmp_path / f"s{number}", "sisal_rope"))
        study = new_study(
            tmp_path / f"study{number}", "sisal_rope", "earlier",
            blades=[{"id": b, "heat_treatment": t} for t, b in lives],
            heat_treatments=[{"id": "soft"}, {"id": "hard"}],
        )  # fmt: skip
        # One station's readings good to 15 %: most of the lives' scatter is theirs.
        (study.folder / "log.csv").write_text(
            wedge_log(lives, {"soft": 2.4, "hard": 2.4}, rng=rng, cv=0.15)
        )
        folders[-1] = study.folder
    total = shop_history(folders)
    own, readings = scatter_before(folders)
    assert total.sd_log_life > own.sd_log_life
    assert own.sd_log_life**2 + readings**2 == pytest.approx(total.sd_log_life**2, rel=0.4)


def test_another_order_takes_the_place_of_one_that_was_begun_only_when_asked(empty_study):
    folder = empty_study.folder
    rolls = ("roll 1", "roll 2", "roll 3")
    first = make_plan(open_source(folder), PlanOptions(blocks=rolls, seed=7))
    save_plan(open_source(folder), first)
    roll, blade = first.runs[0].block, first.runs[0].blade
    text = f"blade,cuts,station_mm,edge_width_um,block\n{blade},0,20,2.5,{roll}\n"
    (folder / "log.csv").write_text(text)
    source = open_source(folder)
    save_plan(source, first)
    other = make_plan(source, PlanOptions(blocks=rolls, seed=8))
    with pytest.raises(UnusableInput, match="--anew"):
        save_plan(source, other)
    assert open_source(folder).study.plan["seed"] == 7
    left = make_plan(source, PlanOptions(blocks=rolls, seed=8, anew=True))
    save_plan(source, left, anew=True)
    plan = open_source(folder).study.plan
    assert (plan["seed"], plan["order"][0]) == (8, [roll, blade])


@pytest.mark.slow
def test_blades_that_do_not_divide_over_the_rolls_are_told(empty_study):
    source = open_source(empty_study.folder)

    def said(*rolls):
        doubts = make_plan(source, PlanOptions(blocks=rolls)).doubts
        return [one.text for one in doubts if one.code == "blades_uneven"]

    assert said("roll 1") == said("roll 1", "roll 2", "roll 3") == []
    assert said("roll 1", "roll 2")[0].startswith("3 runs of ")
    assert "over 3" not in said("roll 1", "roll 2")[0]


class DrawnError(Exception):
    """What a plan's made-up studies begin with."""


def test_the_number_of_the_draw_is_the_orders_alone(empty_study, monkeypatch):
    def begun(*asked, **_):
        raise DrawnError(asked[4].random())

    monkeypatch.setattr(module, "plan_study", begun)
    monkeypatch.setattr(module, "worked_out_once", lambda name, asked, make: make())
    source, rolls, first = open_source(empty_study.folder), ("roll 1", "roll 2", "roll 3"), []
    for seed in (7, 8):
        with pytest.raises(DrawnError) as told:
            make_plan(source, PlanOptions(blocks=rolls, seed=seed))
        first.append(told.value.args)
    assert first[0] == first[1]
    orders = [drawn_order(source.study, PlanOptions(blocks=rolls, seed=seed)) for seed in (7, 8)]
    assert orders[0].runs != orders[1].runs
