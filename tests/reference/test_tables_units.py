"""Every factor of `UNITS` against scipy.constants, and the sizes of lumber against PS 20.

Sizes: the table of minimum dressed sizes of PS 20 as copied at engineeringtoolbox.com (softwood
lumber, standard sizes); the standard itself was not seen.
"""

from fractions import Fraction

import pytest
from scipy import constants as c

from edgetest.chop.billet_size import DRESSED_IN, lumber_mm
from edgetest.units import UNITS, parse_quantity

# Each word in SI units.
METRES = {
    "mm": c.milli, "cm": c.centi, "m": 1.0, "µm": c.micron, "um": c.micron, "micron": c.micron,
    "microns": c.micron, "nm": c.nano, "in": c.inch, "inch": c.inch, "inches": c.inch,
    '"': c.inch, "ft": c.foot, "foot": c.foot, "feet": c.foot, "'": c.foot, "thou": c.mil,
}  # fmt: skip
NEWTONS = {
    "gf": c.gram * c.g, "g": c.gram * c.g, "kgf": c.kilogram_force, "kg": c.kilogram_force,
    "n": 1.0, "mn": c.milli, "lb": c.pound_force, "lbf": c.pound_force, "oz": c.oz * c.g,
    "ozf": c.oz * c.g,
}  # fmt: skip
KILOGRAMS = {"g": c.gram, "kg": 1.0, "oz": c.oz, "lb": c.pound}
SECONDS = {
    "s": 1.0, "sec": 1.0, "min": c.minute, "minute": c.minute, "minutes": c.minute,
    "h": c.hour, "hr": c.hour, "hour": c.hour, "hours": c.hour,
}  # fmt: skip
KELVINS = {"°c": 1.0, "c": 1.0, "k": 1.0, "°f": c.degree_Fahrenheit, "f": c.degree_Fahrenheit}
SI = {
    "mm": METRES, "um": METRES, "gf": NEWTONS, "n": NEWTONS, "g": KILOGRAMS, "min": SECONDS,
    "h": SECONDS, "s": SECONDS, "c_apart": KELVINS,
    "deg": {"deg": c.degree, "°": c.degree, "degrees": c.degree},
    "hrc": {"hrc": 1.0}, "pct": {"%": 0.01, "pct": 0.01, "percent": 0.01},
    "kg_m3": {
        "kg/m3": 1.0, "kg/m³": 1.0, "g/cm3": c.gram / c.centi**3, "g/cm³": c.gram / c.centi**3,
    },
}  # fmt: skip
KEPT_IN = {"c_apart": "c", "pct": "%", "kg_m3": "kg/m3"}
FACTORS = [(unit, word) for unit, words in UNITS.items() for word in words]


@pytest.mark.parametrize(("unit", "word"), FACTORS)
def test_every_factor_of_every_unit(unit, word):
    kept = SI[unit][KEPT_IN.get(unit, unit)]
    assert UNITS[unit][word] == pytest.approx(SI[unit][word] / kept, rel=1e-12)
    if word not in ("'", '"'):
        assert parse_quantity(f"3 {word}", unit) == pytest.approx(3 * UNITS[unit][word])


# Nominal, dry, green; inches as printed.
PS_20 = """
1  | 3/4    | 25/32
2  | 1 1/2  | 1 9/16
3  | 2 1/2  | 2 9/16
4  | 3 1/2  | 3 9/16
5  | 4 1/2  | 4 5/8
6  | 5 1/2  | 5 5/8
8  | 7 1/4  | 7 1/2
10 | 9 1/4  | 9 1/2
12 | 11 1/4 | 11 1/2
"""
SIZES = {int(n): sizes for n, *sizes in (line.split("|") for line in PS_20.strip().splitlines())}


@pytest.mark.parametrize("nominal", sorted({*DRESSED_IN, *SIZES}))
def test_every_dressed_size_both_columns(nominal):
    for condition, printed in zip(("dry", "green"), SIZES[nominal], strict=True):
        inches = sum(Fraction(part) for part in printed.split())
        for text in (f"{nominal}x{nominal}", f"1x{nominal}", f"{nominal} x 12"):
            assert float(inches) * 25.4 in lumber_mm(text, condition=condition)
        assert lumber_mm(f"1x{nominal}", condition=condition)[1] == float(inches) * 25.4
