"""Heat treatments that differ in more than one step: which of them did it is not told."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse

NORMALISE = {"kind": "normalise", "temperature_c": 870, "repeats": 3}
QUENCH = {"kind": "quench", "medium": "oil"}
TEMPER = {"kind": "temper", "temperature_c": 200, "time_min": 60, "repeats": 2}


def doubts_of(folder, soft, hard, batch="{side} {i}", steels=None):
    """What a study of two such heat treatments (invented) leaves open."""
    blades = [
        {
            "id": f"{side}{i}",
            "heat_treatment": side,
            "batch": batch.format(side=side, i=i),
            **({"steel": steels[side]} if steels else {}),
        }
        for side in ("soft", "hard")
        for i in (1, 2)
    ]
    treatments = [
        {"id": "soft", "title": "Soft temper", "steps": soft},
        {"id": "hard", "steps": hard},
    ]
    study = new_study(folder / "s", "sisal_rope", "s", blades=blades, heat_treatments=treatments)
    lines = ["blade,cuts,edge_width_um"]
    for i, blade in enumerate(blades):
        for cuts in (0, 25, 50, 100, 200):
            lines.append(f"{blade['id']},{cuts},{(4 + 0.5 * cuts * (1 + 0.1 * i)) ** 0.5:.3f}")
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    found = analyse(open_source(study.folder), AnalysisOptions(limit=9.0))
    return found


def said(folder, soft, hard):
    """What it says of their steps."""
    found = doubts_of(folder, soft, hard).doubts
    return [one.text for one in found if one.code == "several_steps_changed"]


def test_equal_steps_decide_the_answer_and_another_temper_does_not(tmp_path):
    found = doubts_of(tmp_path, [QUENCH, TEMPER], [QUENCH, TEMPER])
    (told,) = [one for one in found.doubts if one.code == "same_steps"]
    assert told.gravity == "decides"
    assert told.text.startswith("The steps noted for Soft temper and for hard are the same.")
    (tmp_path / "b").mkdir()
    other = doubts_of(tmp_path / "b", [QUENCH, TEMPER], [QUENCH, {**TEMPER, "temperature_c": 260}])
    assert "same_steps" not in [one.code for one in other.doubts]


def test_two_steels_of_equal_steps_are_compared_as_steels(tmp_path):
    steels = {"soft": "plough disc", "hard": "harrow tine"}
    found = doubts_of(tmp_path, [QUENCH, TEMPER], [QUENCH, TEMPER], steels=steels)
    codes = [one.code for one in found.doubts]
    assert not {"same_steps", "steel_of_one_treatment"} & {*codes}
    (told,) = [one.text for one in found.doubts if one.code == "steels_compared"]
    assert "(Soft temper: plough disc; hard: harrow tine)" in told
    assert "where heat treatment stands here of these two, read steel" in told
    (tmp_path / "b").mkdir()
    other = [QUENCH, {**TEMPER, "temperature_c": 260}]
    both = doubts_of(tmp_path / "b", [QUENCH, TEMPER], other, steels=steels)
    codes = [one.code for one in both.doubts]
    assert "steel_of_one_treatment" in codes
    assert "steels_compared" not in codes


@pytest.mark.parametrize(
    ("batch", "warmer", "told"),
    [
        ("3 May", 260, "batch 3 May"),
        ("{i} May", 260, "batches 1 May and 2 May"),  # a quench load each, and no temper's
        ("3 May", 200, ""),
        ("{side}", 260, ""),
        ("{side} {i}", 260, ""),
    ],
)
def test_a_quench_and_two_tempers_leave_the_loads_of_the_temper_open(tmp_path, batch, warmer, told):
    hard = [QUENCH, {**TEMPER, "temperature_c": warmer}]
    found = doubts_of(tmp_path, [QUENCH, TEMPER], hard, batch)
    texts = [one.text for one in found.doubts if one.code == "tempered_apart"]
    assert len(texts) == bool(told)
    for text in texts:
        assert text.startswith(f"Blades of the {told} had different tempers")


def test_two_changed_steps_are_counted_and_named(tmp_path):
    soft = [NORMALISE, QUENCH, TEMPER]
    hard = [{**NORMALISE, "repeats": 1}, QUENCH, {**TEMPER, "temperature_c": 180}]
    (text,) = said(tmp_path, soft, hard)
    assert text.startswith(
        "Two things differ between Soft temper and hard, as far as noted: normalise"
    )


def test_a_step_left_out_is_a_change_too(tmp_path):
    (text,) = said(tmp_path, [NORMALISE, QUENCH, TEMPER], [QUENCH, {**TEMPER, "repeats": 1}])
    assert "normalise (noted of Soft temper alone) and temper" in text


@pytest.mark.parametrize("hard", [[NORMALISE, QUENCH, {**TEMPER, "temperature_c": 180}], []])
def test_one_changed_step_or_none_noted_is_no_doubt(tmp_path, hard):
    assert said(tmp_path, [NORMALISE, QUENCH, TEMPER], hard) == []


def test_the_same_steps_of_two_among_three_are_told_whichever_pair_leads(tmp_path):
    """The answer leads with the two that lie farthest apart; these two lie behind it."""
    lives = {"a": 100, "b": 160, "c": 250}
    blades = [{"id": f"{t}{i}", "heat_treatment": t} for t in lives for i in (1, 2)]
    steps = {t: [QUENCH, {**TEMPER, "temperature_c": 180 if t == "a" else 260}] for t in lives}
    treatments = [{"id": t, "steps": steps[t]} for t in lives]
    study = new_study(tmp_path / "s", "sisal_rope", "s", blades=blades, heat_treatments=treatments)
    lines = ["blade,cuts,edge_width_um"]
    for blade in blades:
        rate = 77 / lives[blade["heat_treatment"]] * (1 + 0.05 * int(blade["id"][1]))
        for cuts in (0, 25, 50, 100, 200):
            lines.append(f"{blade['id']},{cuts},{(4 + rate * cuts) ** 0.5:.3f}")
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    found = analyse(open_source(study.folder), AnalysisOptions(limit=9.0))
    assert {found.comparison.first, found.comparison.second} == {"a", "c"}
    (told,) = [one.text for one in found.doubts if one.code == "same_steps"]
    assert told.startswith("The steps noted for b and for c are the same.")


def test_a_batch_of_blades_quenched_apart_limits_the_answer(tmp_path):
    twice = {**QUENCH, "repeats": 2}
    found = doubts_of(tmp_path, [QUENCH, TEMPER], [twice, TEMPER], batch="oven load 1")
    (told,) = [one for one in found.doubts if one.code == "parted_before_the_batch"]
    assert told.gravity == "limits"
    assert told.text.startswith("Blades of the batch oven load 1 differ in quench, so what stands")
    (tmp_path / "b").mkdir()
    own = doubts_of(tmp_path / "b", [QUENCH, TEMPER], [twice, TEMPER])
    assert "parted_before_the_batch" not in [one.code for one in own.doubts]
