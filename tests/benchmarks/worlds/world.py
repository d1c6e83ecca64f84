"""A study as the maker logs it, together with the truth behind it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from tests.benchmarks.worlds import blades

NONE = np.array([], dtype=float)
TEXT = np.array([], dtype=str)


@dataclass(frozen=True)
class World:
    """What was logged (arrays of one length, empty where the kind has none) and what is true.

    Parameters
    ----------
    kind
        "widths", "checks", "lives", "force" or "card".
    limit
        The reading (µm, gf) at which a blade counts as dull; nan for "card".
    blade, heat_treatment, block, cuts, station, reading, grade, life
        The log. The control blade is "C" with heat treatment "". "lives" have one row a blade.
    true_log_width
        Noise-free log width (force, card of the cycle) of the edge at each row.
    true_life
        Cuts to the limit by (blade, run); the run is the block, or "" where there are none.
    true_log_ratio
        Log of the ratio of median lives, second over first heat treatment on the same roll;
        with three or more a dict by (later, earlier). For "card": of all cycles' totals.
    last_cuts
        Cuts of the last row by blade (of the control: the largest of its runs).
    treatments
        The populations, in order of appearance; these are not for the judged program.
    ladder
        The grades from best to worst where there are checks.
    grade_widths
        Width at which each grade but the last ends.
    other_truths
        Whatever else is known ("log_ratio_initial", "totals" for "card", settings drawn).
    """

    kind: str
    limit: float
    blade: np.ndarray
    heat_treatment: np.ndarray
    block: np.ndarray = field(default_factory=lambda: TEXT)
    cuts: np.ndarray = field(default_factory=lambda: NONE)
    station: np.ndarray = field(default_factory=lambda: TEXT)
    reading: np.ndarray = field(default_factory=lambda: NONE)
    grade: np.ndarray = field(default_factory=lambda: TEXT)
    life: np.ndarray = field(default_factory=lambda: TEXT)
    true_log_width: np.ndarray = field(default_factory=lambda: NONE)
    true_life: dict[tuple[str, str], float] = field(default_factory=dict)
    true_log_ratio: float | dict[tuple[str, str], float] = 0.0
    last_cuts: dict[str, float] = field(default_factory=dict)
    treatments: tuple[Any, ...] = ()
    ladder: tuple[str, ...] = ()
    grade_widths: tuple[float, ...] = ()
    other_truths: dict[str, Any] = field(default_factory=dict)

    def true_log_width_ratio_at(self, cuts):
        """True difference of the population-median log widths at cuts, on a median roll.

        Second less first heat treatment (with three or more a dict by (later, earlier)); of the
        force for "force"; not for "card".
        """
        return blades.differences(self.treatments, blades.median_log_width, cuts)

    def true_log_life_ratio_at(self, width):
        """Log ratio of the median cuts to another width; nan where half never get there."""
        return blades.differences(self.treatments, blades.median_log_life_at, width)


ROWS = (
    "blade",
    "heat_treatment",
    "block",
    "cuts",
    "station",
    "reading",
    "grade",
    "life",
    "true_log_width",
)


def join(worlds):
    """One world of the rows of several that share their populations, in the order given."""
    worlds = list(worlds)
    rows = {name: np.concatenate([getattr(one, name) for one in worlds]) for name in ROWS}
    true_life: dict[tuple[str, str], float] = {}
    last: dict[str, float] = {}
    for one in worlds:
        true_life |= one.true_life
        for blade, cuts in one.last_cuts.items():
            last[blade] = max(cuts, last.get(blade, 0.0))
    return replace(worlds[0], **rows, true_life=true_life, last_cuts=last)
