"""What did the rolls, boards or days do to the control blade?"""

from math import isfinite

from edgetest.doubts import doubt
from edgetest.estimate import format_count
from edgetest.study.words import listed

LEAST_SHARE = 0.005  # a difference under half a per cent is told as such


def control_by_block(control, used, fit):
    """The control blade's life in each block, and how far these lie apart, as a note.

    Parameters
    ----------
    control : str or None
    used : sequence of UsedReading
    fit : StudyFit

    Returns
    -------
    list of Doubt
        None where it has a life in fewer than two blocks.
    """
    lives = _ended({each.run: each.block for each in used if each.blade == control}, fit)
    if len({name for name, _ in lives}) < 2:
        return []
    told = []
    for name, life in lives:
        value, interval = format_count(life.cuts, life.low, life.high)
        told.append(f"{value} ({interval}) in {name}")
    cuts = [life.cuts for _, life in lives]
    share = max(cuts) / min(cuts) - 1
    words = f"{100 * share:.0f} %" if share >= LEAST_SHARE else "less than 1 %"
    return [doubt("control_by_block", control=control, lives=listed(told), apart=words)]


def _ended(block, fit):
    """Block and life of each run that has one, and whose end was seen; by `block` of its runs."""
    lives = [(block[curve.blade], curve.life) for curve in fit.blades if block.get(curve.blade)]
    return [(name, life) for name, life in lives if life is not None and _seen(life)]


def _seen(life):
    return isfinite(life.cuts) and isfinite(life.high) and not life.beyond_reach
