"""A mass typed of the blade is that of its swing, where the swing has none of its own."""

import pytest

from edgetest.errors import ManyFaults
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Hedging billhook (invented)"
protocol = "billet_chop"
blades = [{{id = "B7"{blade}}}]
[handling.B7]
grip_mm = 70
strike_mm = 330
balance_mm = 220
pivot_mm = 25
swings = 20
seconds = [23.6, 23.7, 23.8]
{own}
"""


def mass_of(folder, blade, own=""):
    (folder / "study.toml").write_text(STUDY.format(blade=blade, own=own), encoding="utf-8")
    (folder / "chops.csv").write_text("blade,kind,order,chops\n", encoding="utf-8")
    return analyse_chops(open_chops(folder)).tool("B7").balance.mass_g.value


@pytest.mark.parametrize(
    ("typed", "grams"), [("690", 690), ('"690 g"', 690), ('"1.75 lb"', 793.79)]
)
def test_the_blade_s_mass_serves_its_pendulum(tmp_path, typed, grams):
    assert mass_of(tmp_path, f", mass_g = {typed}") == pytest.approx(grams, abs=0.01)


def test_the_swing_s_own_mass_stands_and_none_at_all_is_asked_for(tmp_path):
    assert mass_of(tmp_path, ", mass_g = 690", "mass_g = 700") == 700
    with pytest.raises(ManyFaults, match="a pendulum test without mass_g"):
        mass_of(tmp_path, "")
