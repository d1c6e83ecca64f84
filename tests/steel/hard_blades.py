"""Readings, steps and trials of hard blades, as the tests of cures name them."""

from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files
from tests.steel.stands import TABLES

HARD, SOFT = files(60, 65, "below"), files(None, 40, "below")
LOOSE = files(60, 65)
GRIND = ("go_on", "grind_and_file")
AGAIN = "heat_treat_again"
INSTRUMENT_U_C = TABLES.row("heat", "instrument")["spread_c"]


def trial(edge=None, result=None, what="rope", **of):
    return TrialSeen("A", what, result, edge, **of)
