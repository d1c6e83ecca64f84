"""Packs and their cases as the tests of this room run them: small and seeded."""

from dataclasses import fields

import numpy as np

from edgetest.steel.carburised_case import solve_case
from edgetest.steel.heat_schedule import Heat, Plate
from edgetest.steel.hours_through import hours_through
from edgetest.steel.pack import PackKnowledge

PACK = (Heat(900, 8, "carburising", name="pack"), Heat(820, 0.2, name="austenitise"))


def rng():
    return np.random.default_rng(7)


def told_apart(options):
    """Options of a run, and those that say how well the pack is known."""
    own = {each.name for each in fields(PackKnowledge)} & set(options)
    known = PackKnowledge(**{name: options[name] for name in own})
    return {name: options[name] for name in set(options) - own} | {"known": known}


def run(heats=PACK, thickness_mm=1.0, *, core_pct=0.2, removed_mm=(0, 0), core_sd_pct=0.02,
        skin_mm=0.0, **options):  # fmt: skip
    plate = Plate(thickness_mm, core_pct, removed_mm, core_sd_pct, skin_mm)
    options = {"samples": 180, "nodes": 80, "rng": rng()} | told_apart(options)
    return solve_case(heats, plate, **options)


def hours(thickness_mm, temperature_c, *, core_pct=0.2, core_sd_pct=0.0, **options):
    plate = Plate(thickness_mm, core_pct, core_sd_pct=core_sd_pct)
    usual = {"rng": rng(), "surface_pct": 1.0}
    return hours_through(plate, temperature_c, **usual | told_apart(options))
