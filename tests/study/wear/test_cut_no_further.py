"""Is no blade bidden to be cut on that chipped, was ended, or whose later stages are left out?"""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes, doubt
from edgetest.store.log_rows import LogRow
from edgetest.store.workspace import new_study
from edgetest.study.bench.session_file import end_run
from edgetest.study.wear.cut_no_further import (
    CHOOSE,
    ENDED,
    READINGS,
    STAGES,
    cut_no_further,
    lives_beyond,
    lives_cut_short,
)
from tests.report.documents.pdf_pages import page_texts
from tests.study.wear.logs_of_wedges import wedge_log

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

BLADES = ("S1", "S2", "S3", "H1", "H2", "H3")
LIVES = {(blade[0], blade): life
         for blade, life in zip(BLADES, (98, 118, 101, 131, 138, 128), strict=True)}  # fmt: skip
LAST = 100  # S2 was cut to here


@pytest.fixture
def folder(tmp_path):
    """S2 stops short of its limit; its rows beyond hold the words of `why`, or are not there."""

    def make(why=None):
        study = new_study(
            tmp_path / "rope", "sisal_rope", "Two tempers",
            blades=[{"id": blade, "heat_treatment": blade[0]} for blade in BLADES],
            heat_treatments=[{"id": "S"}, {"id": "H"}],
        )  # fmt: skip
        lines = ["blade,cuts,edge_width_um,exclude"]
        for row in wedge_log(LIVES, {"S": 2.4, "H": 2.4}).splitlines()[1:]:
            blade, _, cuts, width = row.split(",")
            if blade != "S2" or int(cuts) <= LAST:
                lines.append(f"{blade},{cuts},{width},")
            elif why is not None:
                lines.append(f"{blade},{cuts},,{why}")
        (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        toml = study.folder / "study.toml"
        head = 'reading = "edge_width_um"\nlimit = 12.0\n'
        toml.write_text(head + toml.read_text(encoding="utf-8"), encoding="utf-8")
        return study.folder

    return make


def said(run, folder, *more):
    code, text, err = run("compare", folder, *more)
    assert code == 0, err
    return text


def test_a_blade_that_may_be_cut_on_is_so_where_it_is_sound(folder, run):
    text = said(run, folder())
    assert "Cut those blades on until they reach the limit, if they are sound" in text
    assert ENDED not in text


def test_a_blade_that_was_ended_at_the_bench_is_not_bidden_to_be_cut_on(folder, run):
    place = folder()
    end_run(place, ("", "S2"))
    end_run(place, ("", "H1"))  # past its limit: nothing is asked of it anyway
    text = said(run, place)
    assert f"S2: {ENDED}, so its life beyond the last stage that counts rests on" in text
    assert CHOOSE in text
    assert "H1: This" not in text
    assert "Cut those" not in text
    assert "Cut on" not in text


@pytest.mark.parametrize(("why", "bidden"), [("cracked at the heel", False), ("", True)])
def test_stages_with_a_reason_in_place_of_a_reading_end_a_blade(folder, run, why, bidden):
    text = said(run, folder(why))
    assert (f"S2: {STAGES}, so its life" in text) is not bidden
    assert ("Cut those blades on" in text) is bidden


def test_the_document_bids_no_blade_that_is_ended_to_be_cut_on(folder, run, tmp_path):
    code, _, err = run("report", folder("cracked at the heel"), "--to", tmp_path / "out")
    assert code == 0, err
    words = " ".join(" ".join(page_texts(tmp_path / "out" / "comparison.pdf")).split())
    assert "Other blades in their place would settle it." in words
    for bidding in ("Cutting those blades on", "Cut those", "Cut on"):
        assert bidding not in words


def reading(cuts, *, excluded=False, blade="A", run=None, line=0):
    return SimpleNamespace(cuts=cuts, excluded=excluded, blade=blade, run=run or blade, line=line)


def short(tmp_path, readings, rows=()):
    source = SimpleNamespace(path=tmp_path, log=SimpleNamespace(rows=rows))
    return cut_no_further(source, SimpleNamespace(blades=()), readings)


@pytest.mark.parametrize(
    ("readings", "named"),
    [
        ([reading(10), reading(20, excluded=True)], {"A"}),
        ([reading(20), reading(10, excluded=True)], set()),
        ([reading(20), reading(20, excluded=True)], set()),
        ([reading(20, excluded=True)], set()),  # nothing of it counts at all
        ([reading(10), reading(20, excluded=True, blade="B")], set()),
        ([reading(10, run="A · r1"), reading(20, excluded=True, run="A · r1")], {"A", "A · r1"}),
    ],
)
def test_later_readings_that_are_left_out_end_a_blade(tmp_path, readings, named):
    assert short(tmp_path, readings) == dict.fromkeys(named, READINGS)


def test_a_stage_left_out_ends_no_blade_that_still_waits_for_a_later_one(tmp_path):
    rows = [LogRow(2, "A", 10, readings={"edge_width_um": 5}), LogRow(3, "A", 20, exclude="dark")]
    assert short(tmp_path, [reading(10, line=2)], rows) == {"A": STAGES}
    assert short(tmp_path, [reading(10, line=2)], [*rows, LogRow(4, "A", 30)]) == {}
    early = [LogRow(2, "A", 10, readings={"edge_width_um": 5}), LogRow(3, "A", 5, exclude="dark")]
    assert short(tmp_path, [reading(10, line=2)], early) == {}


def test_the_lives_that_lie_beyond_bid_the_others_alone_to_be_cut_on():
    about = doubt("lives_beyond_readings", "More.", count=2, of=6, lives="lives",
                  lie="lie", names="")  # fmt: skip
    (one,) = lives_cut_short([about], {"A", "B"}, {"A": ENDED})
    assert "Cut the others on until they reach the limit, if they are sound, not A;" in one.text
    assert one.text.endswith(" More.")
    assert lives_cut_short([about], {"B"}, {"A": ENDED}) == (about,)
    (none,) = lives_cut_short([about], {"A"}, {"A": ENDED})
    assert f"{CHOOSE} More." in none.text
    assert codes(lives_cut_short([doubt("noisy_blade")], {"A"}, {"A": ENDED})) == ("noisy_blade",)


def test_a_life_out_of_reach_is_none_of_those_that_lie_beyond():
    life = SimpleNamespace(extrapolated=True, beyond_reach=True)
    near = SimpleNamespace(extrapolated=True, beyond_reach=False)
    blades = [SimpleNamespace(blade=name, life=one)
              for name, one in (("A", life), ("B", near), ("C", None))]  # fmt: skip
    assert lives_beyond(SimpleNamespace(blades=blades)) == {"B"}
