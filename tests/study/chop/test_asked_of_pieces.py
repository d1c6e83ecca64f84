"""Pieces noted as given up, weighed amiss or without the side that was struck are asked about."""

from dataclasses import replace

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.asked_of_pieces import (
    asked_of_pieces,
    piece_doubts,
    trial_result_doubts,
)

TWO_BY_FOUR = {"nominal": "2x4", "length_mm": 300.0, "orientation": "flat"}


def asked(*rows):
    return [str(one) for one in asked_of_pieces("chops.csv", rows)]


def row(line=2, chops="30", **more):
    return ChopRow(line, "T1", "lumber", chops=parse_strokes(chops), **{**TWO_BY_FOUR, **more})


def test_a_trade_size_beside_a_diameter_is_asked_about():
    (told,) = [one for one in asked(row(diameter_mm=62.0)) if "nominal" in one]
    assert "row 2, nominal: 2x4 is sawn, but a diameter of 62 mm was measured; the diam" in told
    assert asked(row(nominal="", diameter_mm=62.0, orientation="")) == []


@pytest.mark.parametrize("note", ["gave up", "Not severed, tired", "it still stood", "given up"])
def test_a_plain_number_beside_words_of_a_piece_given_up_is_asked_about(note):
    (told,) = asked(row(note=note))
    assert "row 2, chops: 30 counts as severed" in told
    assert "write >30 if the piece still stood after 30 strokes" in told
    assert len(asked(row(mishap=note))) == 1
    assert asked(row(chops=">30", note=note)) == []
    assert asked(row(note=note, exclude="another blade")) == []


def test_what_the_figures_rest_on_is_doubted_too_where_it_counts():
    sides = {"thickness_mm": 20.0, "width_mm": 89.0}
    rows = [row(2, note="gave up"), row(3, **sides), row(4), row(5, note="gave up", exclude="slip")]
    given_up, sized = piece_doubts("chops.csv", rows)
    assert (given_up.code, given_up.where.row, given_up.where.blade) == ("strokes_asked", 2, "T1")
    assert 'row 2, chops: 30 counts as severed, but it is noted "gave up".' in given_up.text
    assert (sized.code, sized.where.row) == ("piece_size_asked", 3)
    assert "row 3, nominal: 20 mm × 89 mm were measured, but 2x4 is" in sized.text


@pytest.mark.parametrize("note", ["split along the pith", "it split", "Splits lengthwise; tired"])
@pytest.mark.parametrize("chops", ["7", ">7"])
def test_a_piece_that_split_before_it_was_severed_is_asked_about(note, chops):
    (told,) = asked(row(chops=chops, note=note))
    assert "row 2, chops: the strokes of this piece count, but it is noted" in told
    assert "give it a reason in exclude and chop another" in told
    assert len(asked(row(chops=chops, mishap=note))) == 1
    assert asked(row(chops=chops, exclude=note)) == []
    (doubted,) = piece_doubts("chops.csv", [row(chops=chops, note=note)])
    assert doubted.code == "strokes_asked"


@pytest.mark.parametrize(
    "note",
    ["a chunk split off", "did not split", "split ash from the wood", "it didn't split",
     "handle split, wedge driven", "nothing split", "severed without any split"],
)  # fmt: skip
def test_other_notes_are_not_asked_about(note):
    assert asked(row(note=note)) == []
    assert asked(row(note="stood on a block, cut through")) == []


@pytest.mark.parametrize(
    ("species", "mass_g", "odd"),
    [
        # 38.1 by 88.9 by 300 mm are 1016 cm³: 520 g make 512 kg/m³, 1100 g 1083 kg/m³.
        ("SPF (softwood)", 520.0, False),
        ("SPF (softwood)", 1100.0, True),
        ("white oak", 760.0, False),
        ("white oak", 520.0, True),
        ("white oak", 1100.0, True),
        ("", 520.0, False),
    ],
)
def test_a_weight_is_held_against_the_wood_also_where_the_size_is_nominal(species, mass_g, odd):
    nominal = asked(row(species=species, mass_g=mass_g, moisture_pct=12.0))
    measured = asked(
        row(species=species, mass_g=mass_g, moisture_pct=12.0, nominal="", width_mm=88.9,
            thickness_mm=38.1)
    )  # fmt: skip
    assert nominal == measured
    assert [("mass_g: " in one, "is unusual for" in one) for one in nominal] == [(True, True)] * odd
    heavy = ["if the wood is green, write so under moisture_pct" in one for one in nominal]
    assert heavy == [mass_g == 1100.0] * odd


def test_green_wood_and_wet_wood_weigh_what_their_water_does():
    for water in ("green", 60.0):
        assert asked(row(species="white oak", mass_g=1100.0, moisture_pct=water)) == []
    assert len(asked(row(species="white oak", density_kg_m3=500.0, moisture_pct=12.0))) == 1


def test_the_side_that_was_struck_is_asked_for_once():
    (told,) = asked(row(2, orientation=""), row(3), row(4, orientation=""))
    assert "row 2, orientation: it is not noted which side took the blow, nor in 1 more" in told
    square = {"nominal": "", "width_mm": 50.0, "thickness_mm": 50.0, "orientation": ""}
    assert asked(row(**square)) == []
    assert asked(row(nominal="9x99", orientation="")) == []


@pytest.mark.parametrize(
    ("sides", "odd"),
    [
        ((38.1, 88.9), False),  # dressed
        ((88.9, 38.1), False),  # the other way up
        ((50.8, 101.6), False),  # rough
        ((300.0, 300.0), True),
        ((38.1, 140.0), True),  # that is a 2x6
    ],
)
def test_a_trade_size_beside_sides_that_it_never_has_is_asked_about(sides, odd):
    told = asked(row(thickness_mm=sides[0], width_mm=sides[1]))
    assert [("row 2, nominal: " in one, "2x4 is 38.1 mm × 88.9 mm when dressed" in one)
            for one in told] == [(True, True)] * odd  # fmt: skip


def test_a_weight_without_a_length_is_not_used_and_told():
    (told,) = asked(row(species="white oak", mass_g=760.0, length_mm=None, moisture_pct=12.0))
    assert "row 2, length_mm: 760 g was weighed, but the piece has no length" in told
    assert "without it the weight is not used" in told
    known = row(species="white oak", mass_g=760.0, length_mm=None, density_kg_m3=700.0)
    assert asked(known) == []


def test_wood_that_is_called_wet_is_asked_about_once():
    rows = [row(line, moisture_pct=water) for line, water in enumerate(("green", "wet", "wet"), 2)]
    (told,) = asked(*rows)
    assert 'row 3, moisture_pct: "wet" counts as green' in told
    assert "30 % of water or more, also in 1 more" in told
    assert "of dry wood that rain wetted give the percent, or air-dry" in told
    assert asked(row(moisture_pct="fresh")) == []


def test_a_trial_that_tells_what_came_of_it_is_asked_whether_it_passed():
    nail = ChopRow(9, "T1", "nail", rolls_count=parse_strokes("2"))
    (told,) = asked(nail)
    assert "row 9, result: the nail of T1 was tried, and whether it passed is not noted" in told
    assert "write pass or fail" in told
    done = [replace(nail, result="fail"), replace(nail, exclude="slip")]
    assert asked(ChopRow(9, "T1", "flex"), *done) == []
    assert len(asked(ChopRow(9, "T1", "flex", note="a set of 1 mm"))) == 1


def test_a_trial_whose_end_nobody_noted_is_a_doubt_of_its_figures():
    tried = ChopRow(2, "T1", "nail", note="16d, cut on the anvil")
    (told,) = trial_result_doubts("chops.csv", [tried, row(3)])
    assert (told.code, told.where.row) == ("trial_without_result", 2)
    assert told.text.startswith("The nail of T1 was tried, and whether it passed is not noted")
    assert list(trial_result_doubts("chops.csv", [replace(tried, result="pass")])) == []
