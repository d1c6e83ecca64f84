"""A pack that is only thought of: sizes as typed, faults said and not raised."""

import shutil

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.store.workspace import new_study
from edgetest.study.steel import case_plan
from tests.study.blank_figures import leave_blank


def page(folder):
    import edgetest.app.answers.case_page as case_page
    from edgetest.study.sources import open_source

    case_page.opened = lambda: open_source(folder)
    case_page.show()


@pytest.fixture
def plan(tmp_path, monkeypatch):
    import edgetest.app.answers.case_page as case_page

    monkeypatch.setattr(case_page, "opened", case_page.opened)  # put back what the page replaces
    leave_blank(monkeypatch)
    monkeypatch.setattr(case_plan, "PUBLISHED", ("wells_mehl",))  # no test asks for their spread
    new_study(tmp_path / "s", "sisal_rope", "Gate hinges", blades=("A1",))
    yield AppTest.from_function(page, args=(str(tmp_path / "s"),), default_timeout=60).run()
    shutil.rmtree(tmp_path / "s")


def shown(plan, **fields):
    for key, text in fields.items():
        plan.text_input(key=f"kept.s.case plan.{key}").set_value(text)
    plan.run()
    assert not plan.exception
    return " ".join(each.value for each in (*plan.header, *plan.markdown, *plan.error))


def test_sizes_may_be_typed_with_their_units(plan):
    words = shown(plan, thickness="1/4 in", heat="1650 °F", hours="240 min", off="0,05")
    assert "Edge, 1/4 in" in words
    assert "1650 °F" in words


def test_equal_sizes_typed_otherwise_are_not_answered_from_the_same_shelf(plan):
    for typed in ("1/4 in", "6.35", "1/4 in"):
        said = shown(plan, thickness=typed)
        assert f"Edge, {typed if ' ' in typed else '6.35 mm'}" in said


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"off": "0.6"}, "ground off 1 mm"),
        ({"heat": "hot"}, "hot"),
        ({"hours": "-1"}, "below 0"),
    ],
)
def test_what_cannot_be_is_told_on_the_page(plan, fields, words):
    assert words in shown(plan, **fields)


def test_a_blank_field_is_asked_for(plan):
    shown(plan, heat="")
    assert "Give the section" in plan.info[0].value


def test_the_page_tells_hardness_after_the_temper_and_every_caution(plan):
    words = shown(plan)
    assert "(57 HRC after 2 times 60 min at 180 °C)" in words.replace("\u00a0", " ")
    assert "straight from the quench from 900 °C" in words.replace("\u00a0", " ")
    (cautions,) = (each.value for each in plan.warning)
    for word in ("carbon monoxide", "small vent", "hollow part bursts", "scalding steam"):
        assert word in cautions
    plan.number_input(key="kept.s.case plan.temper").set_value(0.0)
    bare = shown(plan).replace("\u00a0", " ")
    assert "(57 HRC straight from the quench)" in bare
    assert "not tempered" in bare


def test_charcoal_and_skin_of_a_plan_are_those_of_the_command(plan, run):
    plan.selectbox(key="kept.s.case plan.kind").set_value("with a carbonate")
    said = shown(plan, thickness="6", hours="8", off="0", skin="0.3").replace("\u00a0", " ")
    command = ("--thickness-mm", 6, "--temperature-c", 900, "--hours", 8, "--energised", "yes",
               "--skin-mm", 0.3)  # fmt: skip
    _, text, _ = run("case", *command)
    for line in text.splitlines()[1:]:
        if line.startswith("- "):
            assert line in said
    assert text.splitlines()[0].removeprefix("Edge: ") in said
    assert "filled up by the pack" in said
