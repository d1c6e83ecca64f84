"""The chopper's page tells what to mind at the test that it speaks of."""

import shutil
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.answers import chopper_page, side_views_read
from tests.app.shown_rows import labelled, tables

HATCHET = Path(__file__).parents[3] / "sample_runs" / "camp_hatchet_study"


def page(folder):
    import edgetest.app.answers.chopper_page as chopper
    from edgetest.study.sources import open_source

    chopper.opened = lambda: open_source(folder)
    chopper.show()


WOOD = "Wood that chops are stated for, at 12 % moisture"


def field(fields, label):
    return next(each for each in fields if each.label == label)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setattr(chopper_page, "opened", chopper_page.opened)  # put back what it replaces
    (tmp_path / "study.toml").write_text(
        'title = "Small"\nprotocol = "billet_chop"\n[[blades]]\nid = "K1"\n'
        "angle_per_side_deg = 20\n",
        encoding="utf-8",
    )
    (tmp_path / "chops.csv").write_text(
        "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
        "K1,billet,1,20,50,50,white ash,12\nK1,billet,2,22,50,50,white ash,12\n",
        encoding="utf-8",
    )
    return tmp_path


def test_cautions_of_the_protocol_stand_on_the_page(folder):
    shown = AppTest.from_function(page, args=(str(folder),), default_timeout=60).run()
    assert not shown.exception
    words = " ".join(each.value for each in shown.markdown)
    assert "nobody in the plane of it" in words
    assert "Clamp the billet" in words


def test_the_chooser_of_wood_knows_the_woods_of_the_guide_and_the_studys_own(folder):
    toml = (
        (folder / "study.toml")
        .read_text(encoding="utf-8")
        .replace(
            "[[blades]]",
            '[[woods]]\nname = "my plum"\nkind = "hardwood"\ndensity_kg_m3 = 800\n'
            "moisture_pct = 12\nhardness_n = 7000\n[[blades]]",
        )
    )
    (folder / "study.toml").write_text(toml, encoding="utf-8")
    shown = AppTest.from_function(page, args=(str(folder),), default_timeout=60).run()
    chooser = field(shown.selectbox, WOOD)
    assert chooser.options[1] == "my plum"
    assert "hazel (hardness reckoned from its density)" in chooser.options
    assert {"ash, European", "ash, white", "spruce, Norway"} <= set(chooser.options)
    assert any("of coast Douglas-fir at" in one.value for one in shown.markdown)
    chooser.select("my plum").run()
    assert not shown.exception
    assert any("chops per 100 cm² of my plum at" in one.value for one in shown.markdown)
    assert field(shown.selectbox, WOOD).value == "my plum"


def test_a_side_view_is_set_right_from_the_page(tmp_path, monkeypatch):
    monkeypatch.setattr(chopper_page, "opened", chopper_page.opened)
    hatchet = Path(shutil.copytree(HATCHET, tmp_path / "hatchet"))
    shown = AppTest.from_function(page, args=(str(hatchet),), default_timeout=90).run()
    field(shown.segmented_control, "Show").set_value("Edge").run()
    field(shown.segmented_control, "Set right").set_value("Damage").run()
    assert not shown.exception
    labelled(shown.text_input, "Your name").set_value("the maker").run()
    shown.button(key="one.chip.1").click().run()
    assert not shown.exception
    assert "Set right by a person. Without that: 1 chip" in " ".join(
        each.value for each in shown.markdown
    )
    assert (hatchet / "corrections.jsonl").is_file()


def test_many_side_views_are_read_when_asked(tmp_path, monkeypatch):
    monkeypatch.setattr(chopper_page, "opened", chopper_page.opened)
    monkeypatch.setattr(side_views_read, "AT_ONCE", 0)
    hatchet = Path(shutil.copytree(HATCHET, tmp_path / "hatchet"))
    shown = AppTest.from_function(page, args=(str(hatchet),), default_timeout=90).run()
    asked = shown.button(key="chopper.read")
    assert asked.label.startswith("Read ")
    assert not tables(shown)
    asked.click().run()
    assert not shown.exception
    assert tables(shown)
