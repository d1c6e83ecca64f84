"""Packs that ask for more than the diagram allows are held to it, refused, or said."""

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.heat_schedule import Heat
from edgetest.steel.phase_limits import most_austenite_pct
from tests.steel.packed import hours, rng, run


def pack(temperature_c, surface_pct=1.0, hours=8):
    return (Heat(temperature_c, hours, "carburising", surface_pct=surface_pct),)


def test_a_surface_richer_than_austenite_dissolves_is_held_and_said():
    rich = run(pack(850, 1.6), thickness_mm=1.0, temperature_sd_c=0)
    said = next(d for d in rich.doubts if d.code == "surface_above_solubility")
    assert (said.where.value, said.where.expected) == (1.6, pytest.approx(1.085))
    assert "no more than 1.08 %" in said.text or "no more than 1.09 %" in said.text
    assert rich.carbon_pct.max() <= most_austenite_pct(850) + 1e-9
    assert "surface_above_solubility" not in codes(run(pack(950, 1.3)).doubts)


def test_two_point_one_only_at_the_eutectic():
    most = [run(pack(c, 2.1, 4), temperature_sd_c=0).carbon_pct.max() for c in (870, 1000, 1140)]
    assert np.all(np.diff(most) > 0.3)
    assert most[0] < 1.15
    assert most[-1] < 2.1


@pytest.mark.parametrize("temperature", [740, 780, 830])
def test_a_pack_below_a3_of_its_core_is_refused_with_the_heat_that_mends_it(temperature):
    with pytest.raises(UnusableInput, match="partly ferrite") as fault:
        run(pack(temperature))
    assert "837 °C" in fault.value.mend
    with pytest.raises(UnusableInput, match="partly ferrite"):
        hours(1, temperature, core_pct=0.2, target_pct=0.5, rng=rng())
    # More carbon in the core, and the same heat will do.
    assert run(pack(830), core_pct=0.4).case_depth_mm.value > 0


def test_a_case_that_would_melt_and_a_schedule_without_austenite_are_refused():
    with pytest.raises(UnusableInput, match="carburises melts"):
        run(pack(1150))
    with pytest.raises(UnusableInput, match="nothing hardens"):
        run((*pack(700), Heat(720, 1)))
    # A pack too cold for carbon, then a heat to harden: carbon stands still, and that is said.
    cold = run((*pack(700), Heat(850, 0.2)))
    assert "heat_below_austenite" in codes(cold.doubts)
    assert "case_not_hard" in codes(cold.doubts)
    assert cold.face_carbon_pct.high < 0.26


def test_a_later_heat_below_a3_leaves_the_core_partly_ferrite_and_is_said():
    long = (*pack(920), Heat(800, 4.0))
    found = run(long, thickness_mm=6.0)
    assert "core_partly_ferrite" in codes(found.doubts)
    assert "core_partly_ferrite" not in codes(run((*pack(920), Heat(850, 4.0))).doubts)
    # How far carbon moves in it is left open: between no such heat and one in austenite alone.
    quiet = {"thickness_mm": 6.0, "temperature_sd_c": 0, "surface_sd_pct": 0, "core_sd_pct": 0,
             "diffusivities": ("steelmatter",)}  # fmt: skip
    open_ended, none = (run(heats, **quiet).face_carbon_pct for heats in (long, pack(920)))
    assert open_ended.high - open_ended.low > 0.05
    assert none.high - none.low < 1e-9


def test_hours_never_reach_what_austenite_does_not_dissolve():
    found = hours(1.0, 850, core_pct=0.2, target_pct=1.2, surface_pct=1.6, rng=rng())
    assert np.isinf(found.hours.high)
