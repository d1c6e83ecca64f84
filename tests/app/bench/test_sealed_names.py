"""Pages of a study whose names are sealed: codes alone, until the word is typed."""

import re

import pytest

from edgetest.store.records import load_study
from edgetest.store.workspace import new_study
from edgetest.study.bench.unsealing import labels_of
from tests.app.test_navigation_pages import PAGES, page, words
from tests.quick_words import quick_words

WORD = "three odd words"
HIDDEN = re.compile("Kestrel|Heron|mildish|brittle")


@pytest.fixture
def study(tmp_path, monkeypatch):
    """A study that nobody has cut yet, in a workspace of its own."""
    quick_words(monkeypatch)
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    blades = [{"id": "Kestrel", "heat_treatment": "mildish"},
              {"id": "Heron", "heat_treatment": "brittle"}]  # fmt: skip
    return new_study(tmp_path / "one", "sisal_rope", "one", blades=blades,
                     heat_treatments=[{"id": "mildish"}, {"id": "brittle"}]).folder  # fmt: skip


def typed(run, key, word, again):
    run.text_input(key=f"{key}.word").set_value(word)
    run.text_input(key=f"{key}.again").set_value(again)


def shown(run):
    """What a page says, its buttons, fields and tables too."""
    parts = (*run.button, *run.text_input, *run.selectbox, *run.expander, *run.toggle)
    return f"{words(run)} {' '.join(part.label for part in parts)} {run.dataframe}"


def test_the_bench_seals_and_every_page_shows_codes_until_the_word_is_typed(study):
    run = page("bench").run()
    next(t for t in run.toggle if t.label.startswith("Blind")).set_value(True).run()
    typed(run, "order", WORD, "three odd word")
    next(b for b in run.button if b.label == "Draw the order and begin").click().run()
    assert "the two words differ" in words(run)
    typed(run, "order", WORD, WORD)
    next(b for b in run.button if b.label == "Draw the order and begin").click().run()
    assert not run.exception
    next(b for b in run.button if b.label == "I type the widths, no photographs").click().run()
    codes = {blade.id for blade in load_study(study).blades}
    assert not codes & {"Kestrel", "Heron"}
    assert any(f"Blade {code}" in shown(run) for code in codes)
    for name in ("bench", *PAGES):
        other = page(name).run()
        assert not other.exception, name
        assert not HIDDEN.search(shown(other)), name
    run.text_input(key="sealed.word").set_value("another word")
    run.button(key="sealed.labels").click().run()
    assert "the word does not open the sealed names" in words(run)
    run.text_input(key="sealed.word").set_value(WORD)
    run.button(key="sealed.labels").click().run()
    assert f"Kestrel: **{labels_of(study, WORD)['Kestrel']}**" in words(run)
    run.button(key="sealed.open").click().run()
    assert not run.exception
    assert {blade.title for blade in load_study(study).blades} == {"Kestrel", "Heron"}


def test_the_plan_seals_an_order_of_its_own_and_prints_its_sheet(study):
    run = page("plan", seconds=60).run()
    next(t for t in run.toggle if t.label.startswith("Blind")).set_value(True).run()
    typed(run, "plan", WORD, WORD)
    run.button(key="plan.save").click().run()
    assert not run.exception
    assert "The plan is in the study" in words(run)
    assert not HIDDEN.search(shown(run))
    assert load_study(study).plan["sealed"]
    assert "seed" not in load_study(study).plan
