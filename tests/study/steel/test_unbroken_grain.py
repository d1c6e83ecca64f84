"""A grain noted of a coupon that did not break is asked about, and doubted while it counts."""

import pytest

from tests.study.steel.found_steel import COUPON, make_study

ASKED = "a grain is seen in a break, and this did not break: fine counts as seen"


@pytest.mark.parametrize(
    ("fracture", "told"), [("did not break", True), ("snapped clean", False), ("", False)]
)
def test_check_asks_and_the_verdict_doubts_it(run, tmp_path, fracture, told):
    row = f'fracture = "{fracture}"\n' if fracture else ""
    folder = make_study(tmp_path / "steel", evidence=COUPON + row)
    assert (ASKED in "".join(run("check", folder)[1:])) is told
    doubted = "Of coupon A1 of leaf the grain is noted as fine, and that it did not break"
    assert (doubted in run("verdict", folder)[1]) is told


def test_it_is_asked_as_it_is_typed(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=COUPON)
    cells = ("piece=leaf", "coupon=A2", "medium=oil", "grain=fine", "fracture=did not break")
    assert ASKED in "".join(run("enter", folder, "--evidence", "heats", *cells)[1:])
