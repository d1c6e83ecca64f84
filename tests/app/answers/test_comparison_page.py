"""The comparison page says no more and no less than the sentences: chances, open ends."""

import pytest

from edgetest.store.workspace import new_study
from tests.app.shown_rows import tables
from tests.app.test_navigation_pages import page, words
from tests.study.wear.surfaces import as_read

LIVES = "blade,life\nA1,340\nA2,>350\nA3,320-340\nB1,210\nB2,190-200\nB3,<220\n"
STRAY = "blade,life\nA1,340\nA2,342\nA3,345\nA4,900\nB1,330\nB2,331\nB3,332\nB4,333\n"


@pytest.fixture
def made(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()

    def study(log):
        blades = [
            {"id": row.split(",")[0], "heat_treatment": {"A": "low", "B": "high"}[row[0]]}
            for row in log.splitlines()[1:]
        ]
        treatments = [{"id": "low", "title": "Straw"}, {"id": "high", "title": "Purple"}]
        new_study(tmp_path / "one", "sisal_rope", "one", blades=blades, heat_treatments=treatments)
        (tmp_path / "one" / "log.csv").write_text(log, encoding="utf-8")
        run = page("comparison", seconds=60).run()
        assert not run.exception
        return run

    return study


def test_chances_that_the_sentence_says_in_words_are_words_in_their_place(made):
    run = made(LIVES)
    told = {metric.label: metric.value for metric in run.metric}
    assert told["longer on average"] == "very likely"
    assert told["ratio of lives"].startswith("1.")
    assert "Straw is very likely to last longer on average" in words(run)


def test_an_unsettled_answer_shows_no_chances(made):
    run = made(STRAY)
    assert "Not settled" in words(run)
    assert [metric.label for metric in run.metric] == ["ratio of lives"]


def test_what_departs_from_the_protocol_stands_on_the_page(made):
    (table,) = [one for one in tables(made(LIVES)) if "what it means" in one.columns]
    done = list(table["done, or not noted"])
    assert "only how long each blade lasted was noted" in done
    assert "none was named" in done  # a control blade


LOOKS = """
[plan.looks]
sizes = [3, 4, 5]
levels = [0.992, 0.985, 0.978]
constant = 2.2
shape = 0.25
level = 0.95
"""
ROUNDS = "blade,life\nA1,340\nB1,210\nA2,352\nB2,205\nA3,330\nB3,214\nA4,322\nB4,310\n"


def test_the_look_that_ended_the_test_stays_the_answer_after_further_blades(made, tmp_path):
    made(ROUNDS)
    folder = tmp_path / "one"
    toml, log = folder / "study.toml", folder / "log.csv"
    toml.write_text(toml.read_text(encoding="utf-8") + LOOKS, encoding="utf-8")
    log.write_text(ROUNDS.partition("A4")[0] + "A4,322\n", encoding="utf-8")
    run = page("comparison", seconds=60).run()
    assert "Look 1 of 3, at 3 on the smaller side: stop, the answer stands." in as_read(words(run))
    run.button(key="comparison.look").click().run()
    assert not run.exception
    (before,) = [one for one in run.metric if one.label == "ratio of lives"]
    log.write_text(ROUNDS, encoding="utf-8")
    run = page("comparison", seconds=60).run()
    assert not run.exception
    (after,) = [one for one in run.metric if one.label == "ratio of lives"]
    assert (after.value, after.delta) == (before.value, before.delta)
    assert "B4 came later: left out here, and deciding nothing." in as_read(words(run))
    assert "Look 1 of 3, at 3 on the smaller side: stop, the answer stands." in as_read(words(run))
    assert not [one for one in run.button if one.key == "comparison.look"]


def test_a_look_made_already_is_not_offered_again_with_one_more_blade(made, tmp_path):
    made(ROUNDS)
    blades = '["A1", "A2", "A3", "B1", "B2", "B3"]'
    noted = f'made = [{{size = 3, decision = "go_on", blades = {blades}}}]\n'
    toml = tmp_path / "one" / "study.toml"
    toml.write_text(toml.read_text(encoding="utf-8") + LOOKS + noted, encoding="utf-8")
    (tmp_path / "one" / "log.csv").write_text(ROUNDS.partition("B4")[0], encoding="utf-8")
    run = page("comparison", seconds=60).run()
    assert "was made already, without A4: this is no look of its own" in as_read(words(run))
    assert "the answer stands" not in as_read(words(run))
    assert not [one for one in run.button if one.key == "comparison.look"]
