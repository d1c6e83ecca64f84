"""What counts of a typed reading and a photograph, whose doubt is shared, and names of runs."""

from math import nan
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.store.cells import parse_reading
from edgetest.store.log_rows import LogRow
from edgetest.study.wear.kept_repeats import KeptRepeats
from edgetest.study.wear.study_readings import (
    StudyReadings,
    runs_of,
    scales_of,
    spread_words,
    treatment_of,
    used_readings,
)

REPEATS = KeptRepeats(sd_repeat=0.05, sd_reproduce=0.06, relative=True, mean=8.0, readings=12,
                      people=2, df=10)  # fmt: skip


def photo(name="a.png", width=8.0, *, u=0.2, scale=0.01, set_up="", measured=True, lamps=False,
          um_per_px=0.5):  # fmt: skip
    numbers = {
        "width_um": {"mean": width}, "width_u_um": u, "below_um": None, "crest": None,
        "scale": {"um_per_px": um_per_px},
    }  # fmt: skip
    return SimpleNamespace(photo=name, numbers=numbers, measured=measured, between_lamps=lamps,
                           scale_u=scale, task=SimpleNamespace(scale_name=set_up))  # fmt: skip


def row(line, cell=None, *, blade="A", block="", name="", exclude="", cuts=0, at=None):
    readings = {} if cell is None else {"edge_width_um": parse_reading(str(cell), "um")}
    return LogRow(line, blade, cuts, at, readings, block=block, photo=name, exclude=exclude,
                  heat_treatment="")  # fmt: skip


def source_of(*rows, study=None, treatments=None):
    log = SimpleNamespace(rows=rows, heat_treatment_of=lambda blade: (treatments or {}).get(blade))
    return SimpleNamespace(log=log, study=study, path="here")


def used(*rows, photos=(), repeats=None, study=None, reading="edge_width_um"):
    return used_readings(source_of(*rows, study=study), reading, photos, repeats)


def typed_first():
    return SimpleNamespace(edge_width_from="log", heat_treatment_of=lambda _: "hard")


def test_a_typed_reading_is_a_number_or_its_bounds():
    found, doubts = used(row(2, 8), row(3, "<8"), row(4, ">9"), row(5, "8-10"), row(6))
    assert found[0].value == 8.0
    assert np.isnan([found[0].lower, found[0].upper, found[1].value, found[1].lower]).all()
    assert [one.upper for one in found[1:2]] == [8.0]
    assert [one.lower for one in found[2:3]] == [9.0]
    assert (found[3].lower, found[3].upper) == (8.0, 10.0)
    assert np.isnan([one.relative_u for one in found]).all()
    assert [one.line for one in found] == [2, 3, 4, 5]
    assert doubts == []


def test_a_kept_repeatability_is_the_doubt_of_what_was_typed():
    absolute = KeptRepeats(**REPEATS.model_dump() | {"relative": False, "sd_repeat": 0.4})
    found, doubts = used(row(2, 8), row(3, "<10"), row(4, ">5"), row(5, "4-16"), repeats=absolute)
    assert [one.relative_u for one in found] == pytest.approx([0.05, 0.04, 0.08, 0.025])
    assert codes(doubts) == ("repeatability_used",)
    assert used(row(2, 8), repeats=REPEATS)[0][0].relative_u == 0.05
    shown, none = used(row(2, name="a.png"), photos=[photo()], repeats=REPEATS)
    assert (shown[0].relative_u, none) == (pytest.approx(0.025), [])


def test_of_both_the_photograph_counts_unless_the_study_says_the_typed_one():
    both = row(2, 9, name="a.png")
    (by_photo,), doubts = used(both, photos=[photo()])
    assert (by_photo.value, by_photo.source) == (8.0, "photograph")
    assert (by_photo.typed, by_photo.measured) == (9.0, 8.0)
    assert codes(doubts) == ("both_typed_and_measured",)
    assert "the photographs'" in doubts[0].text
    (by_hand,), doubts = used(both, photos=[photo()], study=typed_first())
    assert (by_hand.value, by_hand.source, by_hand.heat_treatment) == (9.0, "log", "hard")
    assert "the typed ones" in doubts[0].text
    (shown,), doubts = used(row(2, name="a.png"), photos=[photo()], study=typed_first())
    assert (shown.value, shown.typed, doubts) == (8.0, None, [])


@pytest.mark.parametrize("odd", [photo(measured=False), photo(lamps=True), photo("b.png")])
def test_a_photograph_that_gives_no_width_is_no_reading(odd):
    assert used(row(2, name="a.png"), photos=[odd])[0] == ()
    assert len(used(row(2, 9, name="a.png"), photos=[odd])[0]) == 1


def test_where_and_when_a_row_was_read():
    (one,) = used(row(2, 8, blade="A", block="r1", cuts=10, at=20.5, exclude="slip"))[0]
    assert (one.blade, one.run, one.block, one.cuts, one.station) == ("A", "A", "r1", 10.0, "20.5")
    assert (one.excluded, one.reason) == (True, "slip")
    assert used(row(2, 8))[0][0].station == ""


def test_a_blade_cut_in_several_blocks_has_a_run_in_each():
    runs = runs_of(source_of(row(2, block="r1"), row(3, block="r2"), row(4, blade="B", block="r1"),
                             row(5, block="r1")))  # fmt: skip
    assert runs == {("A", "r1"): "A · r1", ("A", "r2"): "A · r2", ("B", "r1"): "B"}


def test_a_heat_treatment_comes_from_the_study_or_else_the_log():
    assert treatment_of(source_of(study=typed_first()), "A") == "hard"
    bare = SimpleNamespace(heat_treatment_of=lambda _: None)
    assert treatment_of(source_of(study=bare, treatments={"A": "soft"}), "A") == ""
    assert treatment_of(source_of(treatments={"A": "soft"}), "A") == "soft"


def test_the_worn_area_goes_with_the_square_of_the_width():
    blade = SimpleNamespace(included_angle_deg=30.0)
    study = SimpleNamespace(edge_width_from="photographs", heat_treatment_of=lambda _: "",
                            blade=lambda _: blade)  # fmt: skip
    rows = [row(2, name="a.png"), row(3, name="b.png"), row(4, "<8")]
    photos = [photo(), photo("b.png", 16.0)]
    one, two, bound = used(*rows, photos=photos, study=study, reading="worn_area_um2")[0]
    assert two.value == pytest.approx(4 * one.value)
    assert one.relative_u == pytest.approx(2 * 0.025)
    assert bound.upper == pytest.approx(one.value)
    assert np.isnan([bound.value, bound.lower]).all()


@pytest.mark.parametrize(
    ("photos", "found"),
    [
        ([photo(), photo("b")], {("", 0.01): 0.01}),
        ([photo(), photo("b", scale=0.02)], {("", 0.01): 0.01, ("", 0.02): 0.02}),
        ([photo(), photo("b", set_up="far")], {("", 0.01): 0.01, ("far", 0.01): 0.01}),
        ([photo(measured=False)], {}),
        # Of crests by one needle at one scale the largest counts.
        ([photo(lamps=True, scale=0.03), photo("b", lamps=True, scale=0.02)], {("", 0.5): 0.03}),
    ],
)
def test_what_every_set_up_shares(photos, found):
    assert scales_of(photos) == found


def reading(name, relative_u):
    source = "photograph" if name else "log"
    return SimpleNamespace(photo=name, relative_u=relative_u, excluded=False, source=source)


def shares(photos, *readings, column="edge_width_um"):
    return StudyReadings(column, readings, tuple(photos)).scale_shares()


def test_one_scale_is_shared_and_of_several_each_reading_has_its_own():
    shared, own = shares([photo(), photo("b.png")], reading("a.png", 0.03), reading("b.png", nan))
    assert shared == 0.01
    assert own == pytest.approx([0.03, nan], nan_ok=True)
    two = [photo(scale=0.04), photo("b.png", scale=0.02)]
    shared, own = shares(two, reading("a.png", 0.03), reading("b.png", nan), reading("", nan))
    assert shared == 0.0
    assert own == pytest.approx([0.05, 0.02, 0.0])
    assert shares([photo(lamps=True)], reading("a.png", 0.03))[0] == 0.0


@pytest.mark.parametrize(
    ("relative", "size", "said"),
    [(True, 0.0312, "3.1 % (repeatability.toml: 12 readings by 2 people)"),
     (False, 0.4321, "0.432 (repeatability.toml: 12 readings by 2 people)")],
)  # fmt: skip
def test_a_repeatability_in_words(relative, size, said):
    kept = KeptRepeats(**REPEATS.model_dump() | {"relative": relative, "sd_repeat": size})
    assert spread_words(kept) == said
