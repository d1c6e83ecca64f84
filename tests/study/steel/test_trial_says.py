"""A trial that says two unlike things is refused, and told which to mend."""

import pytest

from edgetest.study.steel.steel_rows import SteelRows


def typed(**cells):
    return SteelRows(trials=[{"test": "chop", **cells}])


@pytest.mark.parametrize(
    ("result", "ratio"),
    [("worse", 1.4), ("better", 0.85), ("worse", "1.4 (1.1 to 1.8)"), ("better", 1.0)],
)
def test_a_result_that_its_own_ratio_contradicts_is_refused(result, ratio):
    with pytest.raises(ValueError, match=f"it was {result} than the known blade, and lasted"):
        typed(result=result, life_ratio=ratio)


@pytest.mark.parametrize(
    ("result", "ratio"), [("worse", 0.85), ("better", 1.4), ("same", 0.9), (None, 1.4)]
)
def test_one_that_agrees_is_kept(result, ratio):
    (row,) = typed(result=result, life_ratio=ratio).trials
    assert row.life_ratio == ratio


def test_exclude_on_a_trial_says_what_to_write_instead():
    with pytest.raises(ValueError, match="a trial has none"):
        typed(result="same", exclude="hit a nail")


def test_the_prompt_refuses_it_and_keeps_nothing(run, tmp_path):
    run("new", tmp_path / "p", "--steel-for", "chopper")
    run("enter", tmp_path / "p", "--evidence", "pieces", "id=A", "origin=leaf spring")
    row = ("piece=A", "test=chop", "result=worse", "life_ratio=1.4", "strokes=60")
    code, out, err = run("enter", tmp_path / "p", "--evidence", "trials", *row)
    assert code == 2
    assert "it was worse than the known blade, and lasted 1.4 times as long" in out + err
    assert "[[evidence.trials]]" not in (tmp_path / "p" / "study.toml").read_text("utf-8")
