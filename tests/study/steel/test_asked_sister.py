"""A sister whose coupon the next step asks for is not bought on the same page."""

from types import SimpleNamespace

import pytest

from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen
from edgetest.study.steel.asked_sister import free_sister, with_asked_sister
from tests.steel.seen_steel import files
from tests.study.steel.test_lot_lines import study_of, told

READ = HeatSeen("A", "A1", hardness=files(60, 65, "below"))
LOT = tuple(PieceSeen(one, lot="L") for one in "ABC")


def test_the_piece_of_the_printed_line_is_told_as_tested_and_counted_so(run, tmp_path):
    folder = study_of(tmp_path / "discs", ("A", 1, "60-65"), ("A", 2, "60-65"),
                      ("B", 1, "45-50"), ("B", 2, "45-50"), discs="ABCD")  # fmt: skip
    wishes = "[verdict]\nblades_wanted = 5\nknown_steel_hours = 1\nblade_hours = 9\n"
    path = folder / "study.toml"
    path.write_text(path.read_text(encoding="utf-8") + wishes, encoding="utf-8")
    _, words = told(run, folder)
    assert "piece=disc C" in words
    _, out, _ = run("verdict", folder)
    its = "Piece disc C: Go on testing: its coupon, which the next step of disc A asks for."
    assert its in out
    assert "Piece disc D: Buy known steel." in out
    counted = out.partition("Blades by what is next: ")[2].partition(".")[0]
    bought = next(one for one in counted.split("; ") if one.startswith("Buy known steel"))
    assert bought == "Buy known steel: 6 of disc D"


@pytest.mark.parametrize(
    ("heats", "piece", "free"),
    [((), "A", "B"), ((), "B", "A"), ((READ,), "B", "C"), ((), None, None)],
)  # fmt: skip
def test_the_first_piece_without_a_reading_is_free(heats, piece, free):
    assert free_sister(SteelSeen(pieces=LOT, heats=heats), piece) == free


@pytest.mark.parametrize("code", ["sparks", None])
def test_where_no_coupon_of_a_sister_is_asked_for_each_verdict_stays(code):
    test = None if code is None else SimpleNamespace(code=code)
    verdicts = [
        SimpleNamespace(piece="A", decision=SimpleNamespace(action="go_on", next_test=test)),
        SimpleNamespace(piece="B", decision=SimpleNamespace(action="buy_known", next_test=None)),
    ]
    seen = SteelSeen(pieces=LOT, heats=(READ,))
    assert with_asked_sister(verdicts, seen) == verdicts
