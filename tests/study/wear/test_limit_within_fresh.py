"""A limit within the fresh edges: said first, with the blades and the limit to choose."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.limit_within_fresh import limit_doubts, without_a_life
from tests.study.wear.surfaces import surfaces

STAGES = (0, 10, 25, 50, 100, 200)
# Fresh edge in µm and life in cuts to 40 µm, invented: three of the hard ones begin at 14 µm.
BLADES = {"S1": (4.0, 98), "S2": (4.2, 105), "S3": (4.1, 101),
          "H1": (4.0, 141), "H2": (14.0, 150), "H3": (14.3, 158)}  # fmt: skip
PLAN = '\n[plan]\nseed = 1\norder = [["roll 1", "S1"], ["roll 1", "H1"]]\n'
COARSE = ("H2", "H3")


@pytest.fixture
def folder(tmp_path):
    blades = [{"id": name, "heat_treatment": name[0]} for name in BLADES]
    treatments = [{"id": "S", "title": "Single temper"}, {"id": "H", "title": "Hard temper"}]
    study = new_study(
        tmp_path / "coarse", "sisal_rope", "coarse", blades=blades, heat_treatments=treatments
    )
    rng, lines = np.random.default_rng(4), ["blade,cuts,edge_width_um"]
    for name, (fresh, life) in BLADES.items():
        for cuts in STAGES:
            width = (fresh**2 + (40.0**2 - fresh**2) * cuts / life) ** 0.5
            lines.append(f"{name},{cuts},{width * np.exp(0.02 * rng.standard_normal()):.4f}")
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    with (study.folder / "study.toml").open("a", encoding="utf-8") as file:
        file.write(PLAN)
    return study.folder


@pytest.fixture
def within(folder):
    return analyse(open_source(folder), AnalysisOptions(limit=12.0))


def test_the_first_line_names_the_blades_and_the_limit_to_choose(within):
    first, second, *_ = within.words().splitlines()
    assert "cannot tell yet: H2 and H3 have no life to this limit, which their fresh" in first
    assert "choose a limit well above 15 µm" in first
    assert second.startswith("H2, H3: The fresh edge has already passed the limit of 12 µm")
    assert "Of the other blades: H1 lasted" in second
    assert "would tell" not in first + second
    assert "would allow a claim" not in second


def test_blades_that_were_cut_and_read_are_not_called_missing(within):
    codes = {one.code for one in within.doubts}
    assert not codes & {"read_early", "one_blade_per_treatment", "one_blade_of_some"}
    assert within.comparison.blades_needed is None


def test_the_ratios_at_other_limits_name_whom_they_compare(within):
    said = within.level_words()
    assert (said.of, said.to) == ("Hard temper", "Single temper")
    assert "Hard temper lasts as Single temper (3 blades against 3), by the edge" in said.says
    assert within.compared.levels[0].level_value > 14.3


def test_it_stands_first_on_page_document_and_screen(folder, tmp_path, monkeypatch):
    toml = folder / "study.toml"
    toml.write_text(f"limit = 12\n{toml.read_text(encoding='utf-8')}", encoding="utf-8")
    said = surfaces(folder, tmp_path, monkeypatch)
    plain = said["json"]["page_one"]["plain"]
    assert plain.endswith("holds its edge longer to this limit.")
    for surface in ("text", "page", "document"):
        assert said[surface].index("H2 and H3 have no life to this limit") < said[surface].index(
            "H1 lasted"
        )
    assert "How many times as long Hard temper lasts as Single temper (3 blades" in said["document"]


def test_a_limit_beyond_every_fresh_edge_is_none_of_this(folder):
    found = analyse(open_source(folder), AnalysisOptions(limit=40.0))
    assert "limit_within_fresh" not in {one.code for one in found.doubts}
    assert found.level_words().blades == ""


def test_a_side_of_which_no_blade_has_a_life_is_not_called_unnamed(folder):
    lines = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("H1,")]
    (folder / "log.csv").write_text("\n".join(kept) + "\n", encoding="utf-8")
    found = analyse(open_source(folder), AnalysisOptions(limit=12.0))
    assert "no blade of Hard temper has a life" in found.words()
    assert "all blades have one heat treatment" not in found.words()


def curve(name, fresh, passed):
    codes = [SimpleNamespace(code="limit_not_beyond_fresh")] if passed else []
    return SimpleNamespace(
        blade=name, doubts=codes, life=None, cuts=np.array([0.0, 9.0]), psi=[1],
        predict=lambda cuts: SimpleNamespace(value=np.array([fresh])),
    )  # fmt: skip


def test_a_reading_that_falls_has_its_limit_below_and_the_control_is_none_of_it():
    fit = SimpleNamespace(blades=(curve("A", 33.3, True), curve("B", 60.0, False),
                                  curve("C", 20.0, True)))  # fmt: skip
    used = [SimpleNamespace(run=name, blade=name) for name in "ABC"]
    found = SimpleNamespace(used=used, reading="card_mm")
    (one,) = limit_doubts(found, fit, 40.0, "C")
    assert one.where.blade == "A"
    assert "well below 33 mm" in one.text
    assert without_a_life(fit, {"B"}) == ()
    assert limit_doubts(found, fit, None, "C") == []
