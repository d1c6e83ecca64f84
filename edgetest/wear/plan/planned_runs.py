"""Which blade would run under which roll, with n blades of each heat treatment?"""

from dataclasses import dataclass, replace
from math import gcd

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.wear.compare.blank_batches import filled

CONTROL = "control"


@dataclass(frozen=True)
class Bench:
    """How a comparison is laid out, whatever the number of blades.

    Attributes
    ----------
    treatments : int
        Heat treatments, the reference among them; 2 or more.
    a_block : int, optional
        Blades of each heat treatment under one roll, board or day; None: all under one.
    control : bool
        A control blade runs once under each roll.
    runs : int
        Times that each blade is cut, every time under another roll.
    """

    treatments: int = 2
    a_block: int | None = None
    control: bool = False
    runs: int = 1


@dataclass(frozen=True)
class PlannedRuns:
    """One element a run: which blade, of which heat treatment, under which roll."""

    blade: np.ndarray
    treatment: np.ndarray
    block: np.ndarray
    names: tuple[str, ...]  # heat treatments, the reference first, the fewest blades second
    batch: np.ndarray | None = None  # quench or temper batch of each; None where none is named

    @property
    def control(self):
        """Name of the control blade, None without one."""
        held = self.blade[self.treatment == CONTROL]
        return str(held[0]) if len(held) else None

    @property
    def blades(self):
        """Number of blades of each heat treatment, in the order of `names`."""
        return tuple(len(set(self.blade[self.treatment == name].tolist())) for name in self.names)

    @property
    def batches(self):
        """Number of batches of each heat treatment, in the order of `names`; () without any.

        None either where a batch holds blades of every heat treatment: it counts as a roll does.
        """
        if self.batch is None:
            return ()
        held = [set(self.batch[self.treatment == name].tolist()) for name in self.names]
        return () if set.intersection(*held) else tuple(map(len, held))

    @property
    def blocks(self):
        """Number of rolls, boards or days."""
        return len(set(self.block.tolist()))


def planned_runs(rows, *, reference=None, batches=None):
    """Runs from (blade, heat treatment, block), one a run.

    Parameters
    ----------
    rows : iterable of (str, str, str)
    reference : str, optional
        Heat treatment that the others are held against; default: first to appear.
    batches : dict of str to str, optional
        Batch of each blade; one that is not named counts as in the comparison.

    Returns
    -------
    PlannedRuns

    Raises
    ------
    UnusableInput
        Where there are no two heat treatments.
    """
    blade, treatment, block = np.array(list(rows), dtype=str).reshape(-1, 3).T
    names = list(dict.fromkeys(treatment[treatment != CONTROL].tolist()))
    if len(names) < 2:
        what = f"{len(names)} heat treatment{'s' * (len(names) != 1)}"
        raise UnusableInput(what, "heat treatments", "a comparison needs two")
    first = reference if reference in names else names[0]
    others = [name for name in names if name != first]
    others.sort(key=lambda name: len(set(blade[treatment == name].tolist())))
    batch = np.array([(batches or {}).get(b) or "" for b in blade.tolist()], dtype=str)
    own = treatment != CONTROL
    named = bool((batch[own] != "").any())
    batch = np.where(own, batch, np.where(batch == "", blade, batch))
    if named:
        batch[own] = filled(blade[own], treatment[own], batch[own])
    return PlannedRuns(blade, treatment, block, (first, *others), batch if named else None)


def runs_with(bench, blades, batches=None):
    """The runs of `blades` blades of each heat treatment, as the bench is laid out.

    Each roll takes `a_block` blades of each heat treatment, the last one what is left, so
    that heat treatments are compared within every roll (complete blocks). A blade that is
    cut several times goes on to the rolls that follow.

    Parameters
    ----------
    bench : Bench
    blades : int
        Of each heat treatment.
    batches : int, optional
        Of each heat treatment, its blades shared out among them; default: none is named, every
        blade counts as hardened by itself.

    Returns
    -------
    PlannedRuns
    """
    each = bench.a_block or blades
    blocks = max(-(-blades // each), bench.runs if bench.a_block else 1)
    rows = [
        (f"{t}.{j}", f"treatment {t}", f"block {(j // each + r) % blocks}")
        for t in range(bench.treatments)
        for j in range(blades)
        for r in range(bench.runs)
    ]
    used = sorted({block for _, _, block in rows})
    rows += [(CONTROL, CONTROL, block) for block in used if bench.control]
    of = {f"{t}.{j}": f"{t}.{j % batches}" for t in range(bench.treatments)
          for j in range(blades)} if batches else None  # fmt: skip
    return planned_runs(rows, batches=of)


def each_in(runs, blocks):
    """The same blades, each cut once in each of so many rolls, boards or days.

    Parameters
    ----------
    runs : PlannedRuns
    blocks : int

    Returns
    -------
    PlannedRuns
    """
    _, places = np.unique(runs.blade, return_index=True)
    again = np.tile(np.sort(places), blocks)
    block = np.repeat([f"block {number}" for number in range(blocks)], len(places))
    batch = None if runs.batch is None else runs.batch[again]
    return PlannedRuns(runs.blade[again], runs.treatment[again], block, runs.names, batch)


def evenly_in(runs, blocks):
    """The same blades, each cut once, each heat treatment's shared out evenly among blocks.

    Parameters
    ----------
    runs : PlannedRuns
        One of each blade; the control blade's are made anew, one a block.
    blocks : int

    Returns
    -------
    PlannedRuns
    """
    own = np.flatnonzero(runs.treatment != CONTROL)
    place = np.concatenate([np.arange(np.sum(runs.treatment == name)) for name in runs.names])
    order = np.concatenate([np.flatnonzero(runs.treatment == name) for name in runs.names])
    number = dict(zip(order.tolist(), (place % blocks).tolist(), strict=True))
    at, block = own.tolist(), [number[each] for each in own.tolist()]
    held = np.flatnonzero(runs.treatment == CONTROL)
    if len(held):
        at, block = at + [int(held[0])] * blocks, [*block, *range(blocks)]
    named = np.array([f"block {each}" for each in block])
    batch = None if runs.batch is None else runs.batch[at]
    return PlannedRuns(runs.blade[at], runs.treatment[at], named, runs.names, batch)


def even_blocks(runs):
    """Numbers of blocks over which every heat treatment's blades divide, the own one left out.

    None where they divide already, or a blade is cut more than once.
    """
    counts = [int((runs.treatment == name).sum()) for name in runs.names]
    if sum(counts) > sum(runs.blades) or not any(count % runs.blocks for count in counts):
        return ()
    return tuple(n for n in range(1, gcd(*counts) + 1) if gcd(*counts) % n == 0)


def bench_of(runs):
    """How given runs are laid out, to lay out other numbers of blades alike."""
    own = int((runs.treatment != CONTROL).sum())
    again = max(round(own / sum(runs.blades)), 1)
    bench = Bench(len(runs.names), control=runs.control is not None, runs=again)
    if runs.blocks < 2:
        return bench
    return replace(bench, a_block=max(round(own / runs.blocks / again / len(runs.names)), 1))
