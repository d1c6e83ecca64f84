"""The line that asks for a temper's unit names its row where the coupon had several tempers."""

import shlex

from tests.study.steel.found_steel import PIECE, make_study
from tests.study.steel.test_bare_degrees import COUPON


def line_of(run, folder):
    out = run("verdict", folder)[1]
    return next(line for line in out.splitlines() if "temperature_c=DEGREES-AND-UNIT" in line)


def test_the_printed_line_takes_another_number_for_one_of_two_tempers(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=PIECE + COUPON)
    words = shlex.split(line_of(run, folder).split("edgetest ")[1])
    assert "row=2" in words
    typed = [word.replace("DEGREES-AND-UNIT", "390 °F") for word in words]
    assert run(*typed)[0] == 0
    text = (folder / "study.toml").read_text(encoding="utf-8")
    assert ('temperature_c = "390 °F"' in text, "temperature_c = 400" in text) == (True, False)
    assert "DEGREES-AND-UNIT" not in run("verdict", folder)[1]


def test_an_only_temper_is_named_by_its_coupon(run, tmp_path):
    one = COUPON.replace('[[evidence.tempers]]\ncoupon = "A1"\ntemperature_c = 175\n'
                         'time_min = 60\nhardness = ["55-60"]\n', "")  # fmt: skip
    folder = make_study(tmp_path / "steel", evidence=PIECE + one)
    assert "row=" not in line_of(run, folder)
