"""The document of a study without curves: noted lives, pass and fail, in place of wear curves."""

import pytest

from edgetest.store.workspace import new_study
from tests.report.documents.pdf_pages import page_texts
from tests.study.wear.logs_of_wedges import wedge_log

pytestmark = pytest.mark.usefixtures("framed")

LIVES = """blade,life,block
A1,340,roll 1
A1,320,roll 2
A2,>300,roll 1
B1,500-510,roll 1
B2,<480,roll 2
C,400,roll 1
"""
CHECKS = "blade,cuts,grade\n" + "".join(
    f"{blade},{cuts},{'shaves' if cuts < life else 'tears copy paper'}\n"
    for blade, life in (("A1", 110), ("A2", 160), ("B1", 210), ("B2", 290))
    for cuts in (0, 100, 150, 200, 250, 300)
)


def written(folder, log, run, *options):
    """The words of the document that the command writes of a study."""
    new_study(
        folder, "sisal_rope", "Two tempers",
        heat_treatments=[{"id": "low", "title": "Straw"}, {"id": "high", "title": "Purple"}],
        blades=[
            {"id": blade, "heat_treatment": {"A": "low", "B": "high"}.get(blade[0])}
            for blade in ("A1", "A2", "B1", "B2", "C")
        ],
    )  # fmt: skip
    file = folder / "study.toml"
    file.write_text('control = "C"\n' + file.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "log.csv").write_text(log, encoding="utf-8")
    code, _, err = run("report", folder, "--to", folder / "out", *options)
    assert code == 0, err
    (pdf,) = (folder / "out").glob("comparison*.pdf")
    return " ".join(" ".join(page_texts(pdf)).split())


def test_noted_lives_have_a_document(tmp_path, run):
    words = written(tmp_path / "s", LIVES, run)
    assert "How long the blades lasted" in words
    for row in ("A1 · roll 2 320", "A2 over 300 stopped before it was dull", "B1 500 to 510",
                "B2 under 480 dull at its first check", "Control blade"):  # fmt: skip
        assert row in words
    assert "Law of wear" not in words
    assert "as it was noted" in words


def test_lives_blade_by_blade_name_the_level_of_their_intervals(tmp_path, run):
    log = wedge_log({("low", "A1"): 98, ("low", "A2"): 105, ("high", "B1"): 131,
                     ("high", "B2"): 138}, {"low": 2.4, "high": 2.4})  # fmt: skip
    words = written(tmp_path / "s", log, run, "--limit", "12", "--level", "0.8")
    assert "Life, cuts 80 % interval" in words
    assert "95 %" not in words


def test_grades_have_a_document(tmp_path, run):
    words = written(tmp_path / "s", CHECKS, run, "--reading", "grade", "--limit", "shaves")
    assert "ends where it falls below “shaves”" in words
    assert "A1 100 to 150" in words
    assert "Purple lasts" in words


def test_one_life_each_is_told_without_an_interval_and_without_a_ratio(tmp_path, run):
    words = written(tmp_path / "s", "blade,life\nA1,340\nB1,210\n", run)
    for said in ("Ratio of lives, A1 : B1", "Life of A1, cuts", "Life of B1, cuts"):
        assert said in words
    assert "Life of Straw" not in words
    assert "Straw 1 blade A1 340" in words
    assert "340 or more" not in words
    assert "210 or more" not in words
    assert "1.62" not in words
