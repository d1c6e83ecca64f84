"""A coupon that was lost before its file is not to be filed: a fresh one is next."""

import pytest

from edgetest.doubts import codes
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.lost_coupons import said_lost
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes

LOST = {"coupon": "T4", "medium": "oil", "heat_c": 810, "magnet": "lets go"}
NOTE = "coupon lost in the fire, never read"


def of(*heats, **rows):
    return steel_seen_of(SteelRows(heats=heats, **rows), VerdictWishes())


def test_a_coupon_lost_unread_counts_as_none_and_is_told():
    found = of({**LOST, "note": NOTE})
    assert found.seen.heats == ()
    assert [one.coupon for one in found.noted.heats] == ["T4"]
    assert codes(found.doubts) == ("coupon_lost",)
    assert "Coupon T4 of 1, heat 1, is noted as lost" in found.doubts[0].text


@pytest.mark.parametrize(
    "more",
    [{"note": "lost its colour at once"}, {"note": ""}, {"note": NOTE, "hardness_below": "60-65"},
     {"note": NOTE, "grain": "fine"}],
)  # fmt: skip
def test_one_that_was_read_or_is_there_counts(more):
    found = of({**LOST, **more})
    assert len(found.seen.heats) == 1
    assert "coupon_lost" not in codes(found.doubts)


def test_one_that_was_tempered_or_tried_counts():
    tempered = of({**LOST, "note": NOTE}, tempers=({"coupon": "T4", "temperature_c": 205},))
    tried = of({**LOST, "note": NOTE}, trials=({"coupon": "T4", "test": "bend", "edge": "sound"},))
    assert len(tempered.seen.heats) == len(tried.seen.heats) == 1


@pytest.mark.parametrize(("note", "lost"), [("lost", True), ("Lost.", True), ("it got lost", True),
                         ("lost carbon", False), ("lost the magnet", False), ("", False),
                         ("losty", False)])  # fmt: skip
def test_a_coupon_is_lost_and_not_its_colour(note, lost):
    assert said_lost(note) is lost


def test_the_step_is_a_fresh_coupon_and_no_file(run, tmp_path):
    folder = tmp_path / "tines"
    run("new", folder, "--steel-for", "hedging tool")
    piece = ("origin=harrow tine", "coating=none", "lead=no", "magnet=strong", "sparks=between")
    run("enter", folder, "--evidence", "pieces", "id=tine 4", "makes_blades=12", *piece)
    heat = ("piece=tine 4", "coupon=T4", "medium=oil", "heat_c=810", "magnet=lets go")
    assert run("enter", folder, "--evidence", "heats", *heat, f"note={NOTE}")[0] == 0
    _, out, _ = run("verdict", folder)
    assert "ground off, and a file below the skin" not in out
    assert "Next: a coupon quenched in oil" in out
    assert "coupon=T4" not in out
    assert "Coupon T4 of tine 4, heat 1, is noted as lost, and nobody read it" in out
