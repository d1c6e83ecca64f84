"""The comparison page says no more and no less than the sentences: chances, open ends."""

import pytest

from edgetest.store.workspace import new_study
from tests.app.shown_rows import tables
from tests.app.test_navigation_pages import page, words

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
