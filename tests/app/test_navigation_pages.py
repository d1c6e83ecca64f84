"""Pages of the desk without a browser: what an empty study says, what can be mended there."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app import navigation
from edgetest.store.records import load_study
from edgetest.store.workspace import new_study
from tests.app.shown_rows import tables

PAGES = ("study", "plan", "log", "sorting", "photographs", "wear_curves", "comparison",
         "document", "protocols", "repeatability", "guide")  # fmt: skip
MODULES = {path: module for pages in navigation.PAGES.values() for _, module, path, _ in pages}


def page(name, *, seconds=20):
    """One page of the app on its own."""
    room, module = MODULES[name.replace("_", "-")].split(".")
    script = f"from edgetest.app.{room} import {module}\n{module}.show()\n"
    return AppTest.from_string(script, default_timeout=seconds)


def words(run):
    """Everything that a page says."""
    parts = (run.title, run.markdown, run.caption, run.info, run.warning, run.error, run.success)
    return " ".join(str(element.value) for part in parts for element in part)


@pytest.fixture
def workspace(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    return tmp_path


@pytest.fixture
def empty(workspace):
    """A study that was just made: no reading, no photograph, no scale."""
    new_study(workspace / "new_study", "sisal_rope", "Two tempers", blades=("A1", "B1"))
    return workspace / "new_study"


@pytest.mark.parametrize("name", PAGES)
def test_a_page_of_an_empty_study_opens_calmly(empty, name):
    run = page(name).run()
    assert not run.exception
    assert not run.error


@pytest.mark.parametrize(
    ("name", "mend"),
    [
        ("log", "nothing read yet"),
        ("photographs", "Take them at the bench, or add them under"),
        ("wear_curves", "once the first stages are cut and read"),
        ("comparison", "once the first stages are cut and read"),
        ("document", "once the first stages are cut and read"),
        ("repeatability", "Type at least two readings of the same edge"),
    ],
)
def test_an_empty_page_says_what_to_do(empty, name, mend):
    assert mend in words(page(name).run())


def test_with_no_study_at_all_the_first_page_offers_to_make_one(workspace):
    run = page("study").run()
    assert "There is no study here yet" in words(run)
    assert {"Which holds its edge longer?", "What can this chopper do?",
            "Is this steel worth forging?"} <= {button.label for button in run.button}  # fmt: skip


def test_a_study_is_made_through_its_door_and_opened(workspace):
    run = page("study").run()
    run.button(key="door.edge").click().run()
    assert run.text_input(key="setup.title").value == ""
    assert run.radio(key="setup.protocol").value is None
    assert [field.value for field in run.text_input] == [""] * len(run.text_input)
    run.button(key="setup.make").click().run()
    assert "is still blank" in words(run)
    run.text_input(key="setup.title").set_value("Two tempers").run()
    run.radio(key="setup.protocol").set_value("sisal_rope").run()
    for number, name in enumerate(("A1", "B1, B2")):
        run.text_input(key=f"setup.card.{number}.names").set_value(name).run()
    run.text_input(key="setup.card.0.angle").set_value("20").run()
    run.button(key="setup.make").click().run()
    assert not run.exception
    study = load_study(workspace / "two_tempers")
    assert [(blade.id, blade.angle_per_side_deg) for blade in study.blades] == [
        ("A1", 20), ("B1", None), ("B2", None),
    ]  # fmt: skip
    assert any("**Two tempers**" in element.value for element in run.markdown)
    assert not list((workspace / ".drafts").glob("*.json"))


def test_an_angle_that_is_none_is_told_on_its_card(workspace):
    run = page("study").run()
    run.button(key="door.chopper").click().run()
    run.text_input(key="setup.card.0.names").set_value("H1").run()
    run.text_input(key="setup.card.0.angle").set_value("blunt").run()
    assert '"blunt"' in words(run)
    assert "Edge angle per side" in words(run)
    assert run.text_input(key="setup.card.0.angle").value == "blunt"  # to be mended


def test_what_was_begun_is_offered_again(workspace):
    run = page("study").run()
    run.button(key="door.steel").click().run()
    run.text_input(key="setup.title").set_value("Harrow tines").run()
    run.button(key="setup.later").click().run()
    assert "**Harrow tines** · Is this steel worth forging?" in words(run)
    next(b for b in run.button if b.label == "Next: go on setting it up").click().run()
    assert run.text_input(key="setup.title").value == "Harrow tines"


def test_a_study_that_cannot_be_read_is_told_beside_the_others(empty, workspace):
    bad = workspace / "bad_study"
    bad.mkdir()
    (bad / "study.toml").write_text('title = "x"\nprotocol = "sisal_rope"\n', encoding="utf-8")
    run = page("study").run()
    assert not run.exception
    assert "blades" in run.error[0].value
    assert "Two tempers" in words(run)


def test_every_fault_of_a_log_has_a_field_to_mend_it(empty):
    (empty / "log.csv").write_text(
        "blade,cuts,edge_width_um\nA1,0,2.5\nA1,fifty,7\nB1,50,0\n", encoding="utf-8"
    )
    run = page("log").run()
    assert "2 faults" in run.error[0].value
    assert [field.label for field in run.text_input] == ["Row 3, cuts", "Row 4, edge_width_um"]
    run.text_input[0].input("50")
    next(b for b in run.button if b.label == "Set right").click()
    run.run()
    assert "1 fault, under the table." in run.error[0].value
    assert "A1,50,7" in (empty / "log.csv").read_text(encoding="utf-8")


GRADED = """blade,cuts,grade,sever_force_gf
A1,0,shaves,150
A1,10,shaves,170
A1,25,tears copy paper,210
B1,0,shaves,140
B1,10,shaves,150
B1,25,shaves,165
"""


def graded(name):
    """A page about the grades of the open study, to leaving the sharpest."""
    run = page(name).run()
    next(box for box in run.selectbox if box.label == "Reading").select("grade")
    run.run()
    assert "nothing says which grade ends" in run.error[0].value
    next(box for box in run.selectbox if box.label.startswith("Grade that ends")).select("shaves")
    run.run()
    assert not run.exception
    assert not run.error
    return run


def test_a_graded_reading_is_told_as_when_each_blade_left_the_grade(empty):
    (empty / "log.csv").write_text(GRADED, encoding="utf-8")
    (table,) = [t for t in tables(graded("wear_curves")) if "checks" in t]
    assert list(table["blade"]) == ["A1", "B1"]
    assert list(table["life, cuts"]) == ["10 to 25", "over 25"]


def test_grades_are_compared_on_the_page_of_every_comparison(empty):
    (empty / "log.csv").write_text(GRADED, encoding="utf-8")
    run = graded("comparison")
    assert any("neither can be said to last longer" in words.value for words in run.markdown)
    assert next(metric.label for metric in run.metric) == "ratio of lives"


@pytest.mark.parametrize("name", ["bench", *PAGES])
def test_a_page_of_a_study_of_noted_lives_opens_calmly(empty, name):
    (empty / "log.csv").write_text("blade,life,block\nA1,340,r1\nA1,320,r2\nB1,>500,r1\n",
                                   encoding="utf-8")  # fmt: skip
    run = page(name).run()
    assert not run.exception
    assert not run.error


WORN = "blade,cuts,edge_width_um\n" + "".join(
    f"{blade},{cuts},{(start**2 + wear * cuts) ** 0.5 * off:.3f}\n"
    for blade, start, wear in (("A1", 2.4, 1.0), ("B1", 2.5, 0.6))
    for cuts, off in ((0, 1.0), (10, 1.01), (25, 0.99), (50, 1.01), (100, 0.99), (150, 1.0))
)


def test_a_limit_that_is_no_number_is_told_at_its_field(empty):
    (empty / "log.csv").write_text(WORN, encoding="utf-8")
    run = page("wear_curves").run()
    next(field for field in run.text_input if field.label == "Limit").input("ten")
    run.run()
    assert not run.exception
    assert '"ten" is not a number' in run.error[0].value
    next(field for field in run.text_input if field.label == "Limit").input("10")
    run.run()
    assert not run.error
    (lives,) = [t for t in tables(run) if "life, cuts" in t]
    assert list(lives["blade"]) == ["A1", "B1"]
    # w² = w0² + K·n, so the life to 10 µm is (100 - w0²) / K
    assert float(lives["life, cuts"][0]) == pytest.approx((100 - 2.4**2) / 1.0, rel=0.05)
    assert float(lives["life, cuts"][1]) == pytest.approx((100 - 2.5**2) / 0.6, rel=0.05)
