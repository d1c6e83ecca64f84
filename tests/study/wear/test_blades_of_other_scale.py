"""A blade typed in divisions of the loupe: told first, with the answer that there is without it."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.overview import overview
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import wedge_log
from tests.study.wear.surfaces import surfaces

LIVES = {("S", f"S{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06, 0.99))}
LIVES |= {("H", f"H{i}"): 150 * f for i, f in enumerate((0.97, 1.0, 1.03, 1.01))}


@pytest.fixture
def folder(tmp_path):
    """A study of eight blades, the widths of S2 in divisions of 20 µm."""
    blades = [{"id": name, "heat_treatment": treatment} for treatment, name in LIVES]
    treatments = [{"id": "S", "title": "Single temper"}, {"id": "H", "title": "Hard temper"}]
    study = new_study(
        tmp_path / "loupe", "sisal_rope", "loupe", blades=blades, heat_treatments=treatments
    )
    lines = wedge_log(LIVES, {"S": 5.0, "H": 5.0}, limit=40.0).splitlines()
    for k, line in enumerate(lines):
        blade, treatment, cuts, width = line.split(",")
        if blade == "S2":
            lines[k] = f"{blade},{treatment},{cuts},{float(width) / 20:.4f}"
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    toml = study.folder / "study.toml"
    toml.write_text(f"limit = 40\n{toml.read_text(encoding='utf-8')}", encoding="utf-8")
    return study.folder


def test_the_blade_its_factor_and_the_answer_without_it_are_told(folder):
    found = analyse(open_source(folder), AnalysisOptions(limit=40.0))
    first, second, *_ = found.words().splitlines()
    assert "look first whether S2 was typed in another unit" in first
    assert second.startswith("S2: Its readings are about 1/")
    assert "Without it: Hard temper lasts 1.5" in second
    assert "As it stands: " in second
    assert "would settle" not in second


def test_nobody_is_bidden_to_cut_such_a_blade_on(folder):
    found = analyse(open_source(folder), AnalysisOptions(limit=40.0))
    cut_on = {"beyond_reach", "stopped_before_limit", "extrapolated", "life_is_a_bound"}
    assert not [one for one in found.doubts if one.where.blade == "S2" and one.code in cut_on]
    assert "Cut it further" not in found.words()


def test_check_asks_and_says_how_to_mend_it(folder):
    said = overview(open_source(folder)).summary()
    assert "asked: log.csv, row 14, edge_width_um: the readings of S2 are about 1/" in said
    assert "divisions of the loupe" in said


def test_page_and_document_say_it_too(folder, tmp_path, monkeypatch):
    said = surfaces(folder, tmp_path, monkeypatch)
    for surface in ("text", "page", "document"):
        assert "Its readings are about 1/" in said[surface]
        assert "Without it: Hard temper lasts 1.5" in said[surface]


def test_sound_blades_are_not_told_of(folder):
    log = folder / "log.csv"
    log.write_text(wedge_log(LIVES, {"S": 5.0, "H": 5.0}, limit=40.0), encoding="utf-8")
    found = analyse(open_source(folder), AnalysisOptions(limit=40.0))
    assert "blade_of_other_scale" not in {one.code for one in found.doubts}
