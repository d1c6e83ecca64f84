"""One reading, one blade or the curve's run beyond the readings: both answers side by side."""

import json

import numpy as np
import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import log_of, wedge_log

FRESH = {"S": 2.4, "H": 2.4}


def invented_lives(ratio, count, sd=0.06, seed=5):
    """Lives of `count` blades a side, the second heat treatment's `ratio` times as long."""
    rng = np.random.default_rng(seed)
    return {
        (name, f"{name}{i + 1}"): 100 * times * np.exp(sd * rng.standard_normal())
        for name, times in (("S", 1), ("H", ratio))
        for i in range(count)
    }


def answer(tmp_path, text, **options):
    log = log_of(tmp_path, text)
    return analyse(open_source(log), AnalysisOptions(limit=12.0, **options))


def made_larger(text, line, times=10):
    lines = text.splitlines()
    cells = lines[line - 1].split(",")
    lines[line - 1] = ",".join([*cells[:3], f"{times * float(cells[3]):.4f}"])
    return "\n".join(lines) + "\n"


CLEAN = wedge_log(invented_lives(1.25, 3), FRESH, rng=np.random.default_rng(1))


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    """The answer of a log without a slip."""
    return answer(tmp_path_factory.mktemp("clean"), CLEAN)


@pytest.mark.parametrize("line", [12, 17])
def test_a_reading_ten_times_too_large_is_named_and_both_answers_stand(tmp_path, clean, line):
    text = made_larger(CLEAN, line)
    met = text.splitlines()[line - 1].split(",")
    found = answer(tmp_path, text)
    assert found.comparison.practical.verdict == "cannot_tell"
    (other,) = found.compared.alternatives
    assert other.verdict == clean.comparison.practical.verdict == "longer"
    assert other.ratio.estimate == pytest.approx(clean.ratio.estimate, rel=0.03)
    (decides,) = [one for one in found.doubts if one.gravity == "decides"]
    where = decides.where
    assert (where.file, where.row, where.blade) == ("log.csv", line, met[0])
    assert (where.stage, where.value) == (float(met[2]), float(met[3]))
    assert where.expected == pytest.approx(where.value / 10, rel=0.15)
    first, second, *_ = found.headline.answer
    assert first == "Not settled: the answer hangs on one reading."
    assert second.startswith(f"log.csv, row {line}, {met[0]}: It reads")
    assert f"Without it: H lasts {other.ratio} times as long as S." in second
    told = json.loads(json.dumps(found.comparison_to_dict()))
    assert told["headline"]["answer"][1] == second
    assert told["doubts"][0] == decides.to_dict()
    assert told["alternatives"][0]["verdict"] == "longer"
    assert told["practical"]["hangs_on"] == ["one reading"]


def test_a_clean_study_hangs_on_nothing(clean):
    assert clean.compared.alternatives == ()
    assert [one.code for one in clean.doubts if one.gravity == "decides"] == []
    assert clean.headline.answer[0].startswith("H lasts 1.")


def test_a_reading_that_changes_nothing_limits_and_does_not_decide(tmp_path):
    lives = invented_lives(2.5, 3, sd=0.03)
    found = answer(tmp_path, made_larger(wedge_log(lives, FRESH), 9, 1.2))
    (far,) = [one for one in found.doubts if one.code == "outlying_reading"]
    assert far.gravity == "limits"
    assert far.where.row == 9
    assert any(line.startswith("log.csv, row 9") for line in found.headline.limits)
    assert found.compared.alternatives == ()


def test_a_blade_that_stands_out_is_named_and_both_answers_stand(tmp_path):
    lives = {("S", f"S{i}"): life for i, life in enumerate((100, 103, 98, 101))}
    lives |= {("H", f"H{i}"): life for i, life in enumerate((136, 131, 140, 45))}
    found = answer(tmp_path, wedge_log(lives, FRESH))
    assert found.comparison.practical.verdict == "cannot_tell"
    (other,) = found.compared.alternatives
    assert (other.what, other.verdict) == ("one blade", "longer")
    where = other.doubt.where
    assert where.blade == "H3"
    assert where.value == pytest.approx(45, rel=0.05)
    assert where.expected == pytest.approx(135, rel=0.05)
    assert found.summary().startswith("Not settled: the answer hangs on one blade. H3: This blade")
    assert f"Without H3: H lasts {other.ratio} times as long as S." in found.summary()


def test_one_of_three_blades_that_stands_out_is_named_but_not_left_out(tmp_path):
    lives = {("S", f"S{i}"): life for i, life in enumerate((100, 101, 99))}
    lives |= {("H", f"H{i}"): life for i, life in enumerate((131, 130, 40))}
    found = answer(tmp_path, wedge_log(lives, FRESH, cv=0.002))
    assert found.compared.alternatives == ()
    (far,) = [one for one in found.doubts if one.code == "blade_stands_out"]
    assert (far.gravity, far.where.blade) == ("limits", "H2")


def test_lives_a_little_beyond_the_readings_are_counted_and_both_answers_stand(tmp_path):
    lives = {("S", f"S{i}"): life for i, life in enumerate((190, 218, 220))}
    lives |= {("H", f"H{i}"): life for i, life in enumerate((246, 248, 251))}
    found = answer(tmp_path, wedge_log(lives, FRESH, cv=0.003))
    assert found.comparison.practical.verdict == "longer"
    (beyond,) = [one for one in found.doubts if one.code == "lives_beyond_readings"]
    assert beyond.gravity == "limits"
    assert beyond.text.startswith("5 of 6 lives lie beyond the blade's last stage: ")
    assert f"With the curves drawn on: H lasts {found.ratio} times as long as S." in beyond.text
    assert "By the readings alone: cannot tell which lasts longer." in beyond.text
    assert beyond.text in found.headline.limits
    others = {one.what: one.decides for one in found.compared.alternatives}
    assert others["the curves beyond the readings"] is False
    assert "the curves" not in " ".join(found.comparison_to_dict()["practical"]["hangs_on"])


def test_lives_of_a_blade_that_ran_twice_are_told_as_lives_of_fewer_blades(tmp_path):
    lives = {("S", f"S{i}"): life for i, life in enumerate((190, 218, 220))}
    lives |= {("H", f"H{i}"): life for i, life in enumerate((246, 248, 251))}
    head, *rows = wedge_log(lives, FRESH, cv=0.003).splitlines()
    text = [f"{head},block", *(f"{row},r1" for row in rows)]
    text += [f"{row},r2" for row in rows if row.startswith("H0")]
    found = answer(tmp_path, "\n".join(text) + "\n")
    (beyond,) = [one for one in found.doubts if one.code == "lives_beyond_readings"]
    assert beyond.text.startswith("6 of 7 lives of 6 blades lie beyond")


def test_one_life_beyond_the_readings_is_told_with_its_blade(tmp_path):
    lives = {("S", f"S{i}"): life for i, life in enumerate((150, 155, 160))}
    lives |= {("H", f"H{i}"): life for i, life in enumerate((170, 175, 230))}
    found = answer(tmp_path, wedge_log(lives, FRESH, cv=0.003))
    (beyond,) = [one for one in found.doubts if one.code == "lives_beyond_readings"]
    assert beyond.text.startswith("1 of 6 lives lies beyond the blade's last stage (H2): the curve")


def test_blades_stopped_far_from_the_limit_allow_no_claim(tmp_path):
    text = wedge_log({key: 4 * life for key, life in invented_lives(1.5, 3).items()}, FRESH)
    found = answer(tmp_path, text)
    beyond = [one.where.blade for one in found.doubts if one.code == "beyond_reach"]
    assert sorted(beyond) == ["H1", "H2", "H3", "S1", "S2", "S3"]
    assert "longer" not in found.headline.answer[0]


def test_where_readings_at_equal_cuts_lead_a_gross_reading_decides_there_too(tmp_path):
    lives = {key: 4 * life for key, life in invented_lives(1.5, 3).items()}
    clean = wedge_log(lives, FRESH)
    found, without = answer(tmp_path, made_larger(clean, 17, 4)), answer(tmp_path, clean)
    assert without.compared.at_cuts.leads
    assert without.compared.at_cuts.verdict == "second"
    assert found.compared.at_cuts.leads
    (other,) = found.compared.alternatives
    assert (other.verdict, other.doubt.where.row) == ("second_is_better", 17)
    first, second, *_ = found.headline.answer
    assert first == "Not settled: the answer hangs on one reading."
    assert "cannot tell which is the better. Without it: at 200 cuts the edge of H is" in second
    assert second.endswith("times as wide as that of S.")
