"""A row of a coupon that had several is named by its place, as the questions about it count."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.steel.which_row import row_named
from tests.study.steel.found_steel import PIECE, make_study
from tests.study.steel.test_bare_degrees import COUPON

TEMPERS = ("--evidence", "tempers", "piece=leaf", "coupon=A1")
HEATS = ({"piece": "leaf", "coupon": "A1"}, {"blade": "K"})


def test_another_number_goes_into_the_row_that_its_place_names(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=PIECE + COUPON)
    other = (*TEMPERS, "temperature_c=652 °F", "--replace")
    status, _, told = run("enter", folder, *other)
    assert (status, "row=1 or row=2" in told) == (2, True)
    assert run("enter", folder, *other, "row=2")[0] == 0
    text = (folder / "study.toml").read_text(encoding="utf-8")
    assert 'temperature_c = "652 °F"' in text
    assert ("temperature_c = 175" in text, "temperature_c = 400" in text) == (True, False)
    assert "row" not in text


def test_without_replace_or_with_another_coupon_it_is_refused(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=PIECE + COUPON)
    before = (folder / "study.toml").read_text(encoding="utf-8")
    refused = [
        run("enter", folder, *TEMPERS, "row=2", "time_min=90"),
        run("enter", folder, "--evidence", "tempers", "coupon=A2", "row=2", "time_min=90",
            "--replace"),
        run("enter", folder, *TEMPERS, "row=3", "time_min=90", "--replace"),
    ]  # fmt: skip
    assert [status for status, _, _ in refused] == [2, 2, 2]
    words = ("add --replace", "is of coupon A1, not A2", "none is row 3")
    assert all(word in told for word, (_, _, told) in zip(words, refused, strict=True))
    assert (folder / "study.toml").read_text(encoding="utf-8") == before


def test_a_heat_is_named_so_too_also_one_of_a_blade():
    assert row_named("heats", HEATS, {"row": 2}, "leaf", replace=True) == 1
    assert row_named("heats", HEATS, {"row": 1, "coupon": "A1"}, "leaf", replace=True) == 0
    assert row_named("heats", HEATS, {"coupon": "A1"}, "leaf", replace=True) is None
    with pytest.raises(UnusableInput, match="is of no coupon, not A1"):
        row_named("heats", HEATS, {"row": 2, "coupon": "A1"}, "leaf", replace=True)


def test_a_piece_has_an_id_and_is_named_by_no_place(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=PIECE)
    status, _, told = run("enter", folder, "--evidence", "pieces", "id=leaf", "row=1", "--replace")
    assert (status, "row" in told) == (2, True)
