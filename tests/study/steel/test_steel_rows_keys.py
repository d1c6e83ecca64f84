"""Rows of the evidence key by key: older words, coupons by number, what belongs together."""

import pytest

from edgetest.store.checking import validate
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes

PIECES = [{"id": "A"}, {"id": "B"}]


def rows(**tables):
    return validate(SteelRows, tables, "evidence")


def fault(**tables):
    with pytest.raises(Exception) as met:
        rows(**tables)
    return str(met.value)


def test_a_coupon_may_be_a_number():
    assert rows(heats=[{"coupon": 1}]).heats[0].coupon == "1"
    assert "coupon" in fault(heats=[{"coupon": True}])
    assert "coupon" in fault(heats=[{"coupon": 1.5}])


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ({"quenched": 1}, '"quenched" is an older way of writing'),
        ({"pieces": [{"id": "A", "magnetic": True}]}, 'write magnet = "strong"'),
        ({"pieces": [{"id": "A", "carbon_where": "skin"}]}, "has no key of its own"),
        ({"pieces": [{"id": "A", "cracked": 1}]}, 'write it into its note, as in note = "crack at'),
        ({"pieces": [{"id": "A", "fracture": "old crack"}]}, "write it into the note of the piece"),
        ({"heats": [{"coupon": "1", "blade": "K"}]}, "both coupon and blade are given"),
        ({"heats": [{"temperature_f": 1500}]}, 'write heat_c = "1500 °F"'),
        ({"heats": [{"temperature_c": "800 C"}]}, 'write heat_c = "800 C"'),
        ({"heats": [{"medium_f": 120}]}, 'write medium_c = "120 °F"'),
        ({"heats": [{"heat_c": "cherry"}]}, 'colour = "cherry"'),
        ({"heats": [{"cracked": 2}]}, "2 cracked of 1"),
        ({"trials": [{"test": "rope"}]}, "this trial says nothing"),
        (
            {"trials": [{"test": "rope", "result": "same", "hardness": 60}]},
            "a trial has no hardness",
        ),
        ({"heats": [{"scale": "HV", "hardness": "500-600"}]}, "a bracket in HV"),
        ({"heats": [{"scale": "HV", "hardness": 5}]}, "5"),
        ({"pieces": [{"id": "A"}, {"id": "A"}]}, 'piece "A" stands twice'),
        ({"pieces": PIECES, "heats": [{"piece": "C"}]}, '"C" is not a piece'),
        ({"pieces": PIECES, "heats": [{}]}, "does not say which piece it belongs to"),
    ],
)
def test_what_does_not_belong_is_refused_with_what_does(tables, said):
    assert said in fault(**tables)


@pytest.mark.parametrize(
    "tables",
    [
        {"heats": [{"cracked": 2, "count": 2}]},
        {"heats": [{"cracked": 0}]},
        {"heats": [{"piece": "C"}]},  # no piece is listed
        {"pieces": PIECES[:1], "heats": [{}]},
        {"pieces": PIECES, "heats": [{"blade": "K"}]},
        {"trials": [{"test": "rope", "edge": "sound"}]},
        {"trials": [{"test": "rope", "life_ratio": 0.5}]},
        {"heats": [{"scale": "HV", "hardness": [500, "60 HRC"]}]},
    ],
)
def test_what_belongs_together_is_taken(tables):
    assert not rows(**tables).empty


def test_a_study_without_a_row_is_empty_and_has_one_unnamed_piece():
    bare = rows()
    assert bare.empty
    assert bare.piece_names == ("1",)
    assert rows(pieces=PIECES).piece_names == ("A", "B")
    assert rows(files_hrc=[40, 60]).empty
    assert not rows(tempers=[{}]).empty


def test_wishes_of_an_older_way_are_refused():
    with pytest.raises(Exception, match="leave it out"):
        validate(VerdictWishes, {"least_blades": 3}, "verdict")
    assert validate(VerdictWishes, {"hardness_hrc": "55-60"}, "verdict").hardness_hrc == (55, 60)
