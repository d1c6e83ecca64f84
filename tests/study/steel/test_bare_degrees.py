"""The line that asks for a temper's unit is one that the prompt takes, of several tempers too."""

import shlex

import pytest

from edgetest.study.steel.bare_degrees import gains_a_unit, given_its_unit
from tests.study.steel.found_steel import PIECE, make_study

COUPON = """
[[evidence.heats]]
piece = "leaf"
coupon = "A1"
medium = "oil"
heat_c = "800 °C"
soak_min = 5
section_mm = 5
hardness_below = ["60-65"]
[[evidence.tempers]]
coupon = "A1"
temperature_c = 175
time_min = 60
hardness = ["55-60"]
[[evidence.tempers]]
coupon = "A1"
temperature_c = 400
time_min = 60
hardness = ["55-60"]
"""


def test_the_unit_of_one_of_two_tempers_is_written_down_as_the_verdict_asks_for_it(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=PIECE + COUPON)
    _, out, _ = run("verdict", folder)
    line = next(line for line in out.splitlines() if "temperature_c=DEGREES-AND-UNIT" in line)
    words = shlex.split(line.split("edgetest ")[1])
    typed = [word.replace("DEGREES-AND-UNIT", "400 °F") for word in words]
    status, _, told = run(*typed)
    assert (status, told) == (0, "")
    text = (folder / "study.toml").read_text(encoding="utf-8")
    assert 'temperature_c = "400 °F"' in text
    assert "temperature_c = 175" in text


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [(400, "400 °F", True), ("400", "400,0 °C", True), (400, 400, False), (400, "205 °C", False),
     ("400 °C", "400 °F", False), (None, "400 °F", False)],
)  # fmt: skip
def test_bare_degrees_are_given_a_unit_by_the_same_number_alone(was, now, same):
    assert given_its_unit({"temperature_c": was}, {"temperature_c": now}) is same


@pytest.mark.parametrize(
    ("table", "key", "was"),
    [("tempers", "temperature_c", "400"), ("heats", "heat_c", "480"), ("heats", "medium_c", "95"),
     ("heats", "soak_min", "5")],
)  # fmt: skip
def test_a_number_that_gains_its_unit_is_a_change(run, tmp_path, table, key, was):
    """Degrees and minutes as the file reads them already: the word behind them is what is new."""
    unit = "min" if key == "soak_min" else "°C"
    row = f'[[evidence.{table}]]\npiece = "leaf"\ncoupon = "B"\nheat = 1\n{key} = {was}\n'
    heat = '[[evidence.heats]]\npiece = "leaf"\ncoupon = "B"\nheat = 1\nmedium = "oil"\n'
    more = row if table == "tempers" else ""
    heat += "" if table == "tempers" else f"{key} = {was}\n"
    folder = make_study(tmp_path / "steel", evidence=f"{PIECE}\n{heat}{more}")
    cells = ("--evidence", table, "piece=leaf", "coupon=B", "heat=1", f"{key}={was} {unit}")
    status, out, told = run("enter", folder, *cells, "--replace")
    assert (status, told) == (0, "")
    assert f'{key}: "{was} {unit}"' in out or f'"{was} {unit}"' in out
    assert f'{key} = "{was} {unit}"' in (folder / "study.toml").read_text(encoding="utf-8")
    assert "nothing was changed" in run("enter", folder, *cells, "--replace")[1]


@pytest.mark.parametrize(
    ("was", "now", "gains"),
    [(480, "480 °C", True), (480, 480, False), ("480 °C", 480, False), ("480 °C", "480 °C", False),
     (["60-65"], "60", False), (True, "1 h", False), (5, "5,0 min", True)],
)  # fmt: skip
def test_a_unit_is_gained_by_a_bare_number_alone(was, now, gains):
    assert gains_a_unit(was, now) is gains
