"""A piece or a heat that other rows are of stays, and those rows are named."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.study.steel.evidence_edit import take_out
from tests.study.steel.found_steel import PIECE, make_study

TWO = PIECE + '[[evidence.pieces]]\nid = "bar"\n'
HEATS = '[[evidence.heats]]\ncoupon = "A1"\nmedium = "oil"\n'
TEMPER = '[[evidence.tempers]]\ncoupon = "A1"\ntemperature_c = 200\n'
TRIAL = '[[evidence.trials]]\ncoupon = "A1"\ntest = "chop"\nedge = "sound"\n'
SECOND = HEATS.replace("oil", "air")


def taken(tmp_path, evidence, table, at, **more):
    folder = make_study(tmp_path / "s", evidence=evidence, **more)
    take_out(folder, table, load_study(folder).evidence[table][at])
    return load_study(folder).evidence


@pytest.mark.parametrize(
    ("evidence", "table", "words"),
    [
        (PIECE + HEATS + TEMPER, "pieces",
         r"pieces 1 \(leaf\): row 1 of heats \(A1\), row 1 of tempers \(A1\) rest on it"),
        (PIECE + TRIAL, "pieces", r"row 1 of trials \(A1\) rests on it"),
        (TWO + HEATS.replace("coupon", 'piece = "leaf"\ncoupon'), "pieces",
         r"row 1 of heats \(A1\) rests on it"),
        (PIECE + '[verdict]\npiece = "leaf"\n', "pieces", r"piece of \[verdict\]"),
        (HEATS + TEMPER, "heats", r"heats 1: row 1 of tempers \(A1\) rests on it"),
        (HEATS + TRIAL + "heat = 1\n", "heats", r"row 1 of trials \(A1\) rests on it"),
        (HEATS + SECOND + TEMPER + "heat = 1\n", "heats", r"row 1 of tempers \(A1\) rests on it"),
        (HEATS + SECOND + TEMPER + "heat = 2\n", "heats",
         r"row 1 of tempers \(A1\) would be of another one; give the later heats.*heat=2"),
    ],
)  # fmt: skip
def test_what_other_rows_rest_on_stays(tmp_path, evidence, table, words):
    with pytest.raises(UnusableInput, match=words):
        taken(tmp_path, evidence, table, 0)


def test_a_piece_of_which_a_blade_was_forged_stays(tmp_path):
    with pytest.raises(UnusableInput, match="blade X1 rests on it"):
        taken(tmp_path, TWO, "pieces", 0, blades='piece = "leaf"')


@pytest.mark.parametrize(
    ("evidence", "table", "at"),
    [
        (TWO + HEATS.replace("coupon", 'piece = "leaf"\ncoupon'), "pieces", 1),
        (HEATS + HEATS + TEMPER, "heats", 0),  # told twice, so it still stands
        (HEATS + SECOND + TEMPER + "heat = 1\n", "heats", 1),
        (HEATS + SECOND + "heat = 2\n" + TEMPER + "heat = 2\n", "heats", 0),
        (HEATS + TEMPER.replace("A1", "A2"), "heats", 0),
        (HEATS + TEMPER, "tempers", 0),
    ],
)
def test_what_nothing_rests_on_goes(tmp_path, evidence, table, at):
    before = evidence.count(f"[[evidence.{table}]]")
    assert len(taken(tmp_path, evidence, table, at).get(table, ())) == before - 1
