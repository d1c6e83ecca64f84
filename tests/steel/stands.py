"""Where work stands on an invented piece, with chances that are given and not weighed."""

from dataclasses import replace
from types import SimpleNamespace

from edgetest.steel.situation import Situation
from edgetest.steel.steel_tables import EXPLANATIONS, MIXED
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import seen

TABLES = load_steel_tables()
RIGHT = {"right": 1.0, "too_cold": 0.0, "too_hot": 0.0, "too_short": 0.0}


def stands(*heats, chances=(), done=(), missed=0.0, fit=0.5, case_only=0.0, pieces=(), **of):
    """A situation of piece A; `chances` of explanations, `done` of what was done in each heat."""
    found = seen(*heats, **of)
    found = replace(found, pieces=(*found.pieces, *pieces))
    every = {**dict.fromkeys((*EXPLANATIONS, MIXED), 0.0), **dict(chances)}
    of_heat = SimpleNamespace(chances={**RIGHT, **dict(done)}, missed=missed)
    belief = SimpleNamespace(
        explanations=every,
        families={"case_only": case_only},
        chance_fit=fit,
        heat=lambda heat: of_heat,
    )
    return Situation(found, found.pieces[0], belief, replace(TABLES, kept={}))


def step(found):
    """Action and way of a step; None where a rule passes."""
    return None if found is None else (found.action, found.way)
