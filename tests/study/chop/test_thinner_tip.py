"""What a thinner tip takes off is as wide as its shape stands apart from the tool swung."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.chop.chop_analysis import analyse_chops, try_thinner
from edgetest.study.sources import open_chops

STUDY = """
title = "Hedging billhook (invented)"
protocol = "billet_chop"
blades = [{{id = "B7", length_mm = 420}}]
[handling.B7]
grip_mm = 70
strike_mm = 330
{swung}
[outline.B7]
widths = [[0, 28], [140, 26], [165, 42], [300, 55], [390, 50], [420, 20]]
thicknesses = {thick}
edge_mm = 0.5
ground = {ground}
parts = [{{name = "ash scales", mass_g = 95, from_mm = 0, to_mm = 135}}]
"""
SWUNG = """
mass_g = 690
balance_mm = 220
pivot_mm = 25
swings = 20
seconds = [23.6, 23.7, 23.8]
"""
THIN, THICK = "[[0, 5], [140, 6], [420, 4]]", "[[0, 9], [140, 10], [420, 9.5]]"


def tried(folder, thick, swung=SWUNG, ground="1"):
    text = STUDY.format(swung=swung, thick=thick, ground=ground)
    (folder / "study.toml").write_text(text.replace("ground = \n", ""), encoding="utf-8")
    (folder / "chops.csv").write_text("blade,kind,order,chops\n", encoding="utf-8")
    return try_thinner(analyse_chops(open_chops(folder)), "B7", 300, 2)


def mass_of(change):
    return next(row for row in change.compared.rows if row["figure"] == "mass_g")


def test_a_shape_that_does_not_fit_widens_what_a_thinner_tip_changes_and_says_so(tmp_path):
    change = tried(tmp_path, THIN)
    alone = tried(tmp_path, THIN, swung="")
    (said,) = change.doubts
    assert said.code == "shape_apart_from_tool"
    assert "mass (467 g by the shape, 690 measured)" in said.text
    mass, of_shape = mass_of(change), mass_of(alone)
    assert alone.doubts == ()
    assert mass["difference"] == of_shape["difference"]
    missed = 690 / change.before.balance.mass_g.value - 1
    assert mass["difference"] - mass["low"] > missed * abs(mass["difference"])
    assert mass["high"] - mass["difference"] > missed * abs(mass["difference"])
    assert of_shape["high"] - of_shape["low"] < 3


def test_two_shapes_of_one_tool_that_both_miss_it_do_not_contradict_each_other(tmp_path):
    thin, thick = (mass_of(tried(tmp_path, one)) for one in (THIN, THICK))
    assert max(thin["low"], thick["low"]) <= min(thin["high"], thick["high"])


def test_the_summary_tells_it_right_below_the_change(tmp_path):
    tried(tmp_path, THIN)
    result = analyse_chops(open_chops(tmp_path), thinner={"B7": (300, 2)})
    lines = result.summary().splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("B7, if it tapered"))
    assert lines[at + 1].startswith("note: The shape of B7 does not fit the tool")
    (written,) = result.to_dict()["what_if"]
    assert [one["code"] for one in written["doubts"]] == ["shape_apart_from_tool"]


@pytest.mark.parametrize("share", [0.0, 0.4])
def test_a_shape_that_fits_is_left_alone(share):
    from edgetest.chop.balances_compared import apart_share, before_after, side_by_side, widened
    from tests.chop.tools import drawn

    assert apart_share(side_by_side(drawn("measured"), drawn("predicted"))) == 0
    assert apart_share(None) == 0
    change = before_after(drawn("predicted"), drawn("predicted", 0.002))
    for was, now in zip(change.rows, widened(change, share).rows, strict=True):
        more = share * abs(was["difference"])
        assert was["low"] - now["low"] == pytest.approx(more)
        assert now["high"] - was["high"] == pytest.approx(more)


@pytest.mark.parametrize(
    ("taper", "words"),
    [
        (
            (9.4, 0.1),
            r"9.4 mm begins before the end of ash scales; begin past 135 mm .* \"9.4 in\"",
        ),
        ((300, 4.5), "from 300 mm to 4.5 mm takes nothing off; it is 4 mm thick at the tip"),
        ((300, 0), "0 mm at the tip is no blade any more; give what is to be left"),
        ((500, 1), "taper from 500 mm to 1 mm; begin between 0 and 420 mm"),
    ],
)
def test_a_taper_that_nobody_would_grind_is_refused(tmp_path, taper, words):
    (tmp_path / "study.toml").write_text(
        STUDY.format(swung=SWUNG, thick=THIN, ground="1"), encoding="utf-8"
    )
    (tmp_path / "chops.csv").write_text("blade,kind,order,chops\n", encoding="utf-8")
    with pytest.raises(UnusableInput, match=words):
        try_thinner(analyse_chops(open_chops(tmp_path)), "B7", *taper)


def test_a_shape_of_no_typed_grind_may_be_a_bar_or_ground_full_flat_and_that_is_told(
    tmp_path,
):
    flat, bar, any_ = (tried(tmp_path, THICK, ground=one) for one in ("1", "0", ""))
    mass, least, most = (one.before.balance.mass_g for one in (any_, flat, bar))
    assert mass.low < 1.02 * least.value < mass.value < 0.98 * most.value < mass.high
    assert mass_of(any_)["difference"] < 0
    told = analyse_chops(open_chops(tmp_path))
    (said,) = [one for one in told.doubts if one.code == "grind_not_typed"]
    assert said.where.blade == "B7"
    assert f"may be {mass.low:.0f} to {mass.high:.0f} g. Write `ground`" in said.text
    assert said.text in told.summary()


def test_a_typed_grind_is_taken_as_typed(tmp_path):
    tried(tmp_path, THICK, ground="0.45")
    told = analyse_chops(open_chops(tmp_path))
    assert "grind_not_typed" not in {one.code for one in told.doubts}
