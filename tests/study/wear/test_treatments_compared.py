"""From fitted runs to the lives that are compared: labels, and why there is nothing to compare."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse, settled
from edgetest.study.wear.compared_runs import NoComparison
from edgetest.study.wear.treatments_compared import lives_to_compare

STAGES = (0, 10, 25, 50, 100, 200)
# Invented lives to 12 µm, by heat treatment, blade, quench batch and roll.
RUNS = {
    ("soft", "A1", "q1", "roll 1"): 100, ("soft", "A2", "q2", "roll 2"): 140,
    ("soft", "A3", "q1", "roll 3"): 120,
    ("hard", "B1", "q2", "roll 1"): 150, ("hard", "B2", "q1", "roll 2"): 215,
    ("hard", "B3", "q2", "roll 3"): 182,
}  # fmt: skip


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    blades = [
        {"id": blade, "heat_treatment": treatment, "batch": batch}
        for treatment, blade, batch, _ in RUNS
    ]
    study = new_study(
        tmp_path_factory.mktemp("study") / "rolls", "sisal_rope", "rolls", blades=blades,
        heat_treatments=[{"id": "soft"}, {"id": "hard"}],
    )  # fmt: skip
    lines = ["blade,block,cuts,edge_width_um,sever_force_gf"]
    for (_, blade, _, roll), life in RUNS.items():
        for cuts in STAGES:
            width = (2.4**2 + (12**2 - 2.4**2) * cuts / life) ** 0.5
            lines.append(f"{blade},{roll},{cuts},{width:.4f},{100 + cuts / 4:g}")
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return analyse(open_source(study.folder), AnalysisOptions(limit=12.0))


def source_of(result):
    return open_source(result.study.folder)


def test_every_life_keeps_its_batch_roll_and_heat_treatment(result):
    lives = lives_to_compare(source_of(result), result.fit, result.readings, None)
    rows = list(zip(lives.treatment, lives.blade, lives.batch, lives.block, strict=True))
    assert rows == list(RUNS)


def test_the_rolls_are_taken_out_of_the_ratio(result):
    # Within each roll the hard blade lasts 1.5 times as long; between rolls lie 40 %.
    ratio = result.comparison.ratio
    assert ratio.estimate == pytest.approx(1.52, rel=0.02)
    assert ratio.high / ratio.low < 1.5


def test_one_heat_treatment_alone_is_no_comparison(result):
    soft = [one for one in result.readings if one.blade.startswith("A")]
    alone = [curve for curve in result.fit.blades if curve.blade.startswith("A")]
    fit = type(result.fit)(**{**vars(result.fit), "blades": tuple(alone)})
    with pytest.raises(NoComparison, match="one heat treatment"):
        lives_to_compare(source_of(result), fit, soft, None)


def test_a_limit_that_fresh_edges_have_passed_is_the_thing_to_mend(result):
    found = analyse(source_of(result), AnalysisOptions(limit=2.0))
    choice = found.comparison_to_dict()["page_one"]["choice"]
    assert choice.endswith(": choose a limit that a fresh edge has not reached.")
    (why,) = [one.text for one in found.doubts if one.code == "no_comparison"] or [
        one.text for one in found.doubts if one.code == "lives_not_compared"
    ]
    assert "the fresh edges have passed this limit already" in why
    assert "cut" not in why.partition(". ")[0]


def test_the_studys_limit_holds_for_the_studys_reading_alone(result):
    toml = result.study.folder / "study.toml"
    text = toml.read_text(encoding="utf-8")
    toml.write_text(f"limit = 12.0\n{text}", encoding="utf-8")
    try:
        source = source_of(result)
        assert settled(source, AnalysisOptions()).limit == 12.0
        assert settled(source, AnalysisOptions(reading="sever_force_gf")).limit is None
    finally:
        toml.write_text(text, encoding="utf-8")


def test_batches_that_a_slip_parts_are_asked_about_beside_the_answer(result, tmp_path):
    """One blade's "quench day2" makes a batch of its own, and the interval what it is not."""
    assert "batches_nearly_alike" not in [one.code for one in result.doubts]
    facts = (result.study.folder / "study.toml").read_text(encoding="utf-8")
    facts = facts.replace('"q1"', '"quench day 1"').replace('"q2"', '"quench day 2"')
    facts = facts.replace('"quench day 2"', '"quench day2"', 1)
    (tmp_path / "study.toml").write_text(facts, encoding="utf-8")
    log = (result.study.folder / "log.csv").read_text(encoding="utf-8")
    (tmp_path / "log.csv").write_text(log, encoding="utf-8")
    found = analyse(open_source(tmp_path), AnalysisOptions(limit=12.0))
    (asked,) = [one for one in found.doubts if one.code == "batches_nearly_alike"]
    assert asked.text.startswith('The batch "quench day2" is nearly "quench day 2"')
    assert asked.text in found.headline.limits
