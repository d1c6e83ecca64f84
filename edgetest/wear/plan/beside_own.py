"""The blades that a plan asks for, beside what the study's own blades show: both must agree."""

from dataclasses import replace

import numpy as np

from edgetest.wear.plan.planned_runs import CONTROL, runs_with
from edgetest.wear.plan.study_power import UNSAID


def own_of_bench(bench, own):
    """How many blades of each the study's own runs have, where they are laid out as the bench.

    Parameters
    ----------
    bench : Bench
    own : PlannedRuns or None

    Returns
    -------
    int or None
        None where they are not: other numbers of blades would tell nothing of these.
    """
    if own is None or len(set(own.blades)) > 1 or min(own.blades) < 2:
        return None
    if own.batch is not None and own.batches != own.blades:
        return None
    blades = own.blades[0]
    return blades if _by_block(own) == _by_block(runs_with(bench, blades)) else None


def _by_block(runs):
    """Runs of each heat treatment and of the control in each block, whatever these are called."""
    return sorted(
        tuple(
            int(((runs.treatment == name) & (runs.block == block)).sum())
            for name in (*runs.names, CONTROL)
        )
        for block in np.unique(runs.block)
    )


def beside_own(found, blades, chance, goal):
    """The number of blades found, held to the chance that the study's own blades have.

    Of own blades that reach the chance wished for no more are asked for, and of own ones that do
    not, more. The chance counts as it is told, in whole percent.

    Parameters
    ----------
    found : int or None
        None beyond reach.
    blades : int or None
        Of each heat treatment in the study; None where they are laid out in another way.
    chance : Power or None
    goal : float
        The chance wished for.

    Returns
    -------
    int or None
    """
    if blades is None or chance is None or chance.method == UNSAID:
        return found
    if round(chance.value, 2) >= goal:
        return blades if found is None else min(found, blades)
    return None if found is None else max(found, blades + 1)


def with_blades(plan, blades):
    """A plan with another number of blades of each, None beyond reach; the rest stays.

    Parameters
    ----------
    plan : StudyPlan
    blades : int or None

    Returns
    -------
    StudyPlan
    """
    each = plan.chosen.readings / plan.chosen.blades if plan.chosen.blades else 0
    readings = round(each * blades) if blades and each else None
    chosen = replace(plan.chosen, blades=blades, readings=readings)
    return replace(plan, chosen=chosen, options=(chosen, *plan.options[1:]))
