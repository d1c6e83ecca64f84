"""What touching up took off a tool's edge, and what is on it now, in words that add up."""

from edgetest.study.chop.touched_off import touched_off
from edgetest.study.words import counted, listed


def touched_up_words(result, blade, *, when=False):
    """What touching up took off by eye, and what is on the edge now; "" where it took nothing.

    Parameters
    ----------
    result : ChopResult
    blade : str
    when : bool
        After how many strokes in all it was done, too; told also where it took nothing.

    Returns
    -------
    str
        "; touching up took 1 chip and 1 roll off: 2 chips and 1 roll are on it now"
    """
    met = [one for one in touched_off(result.log.rows, blade) if one.most]
    at = _at(result, blade) if when else ""
    if all(one.taken == 0 for one in met):
        return f"; touched up{at}" if at else ""
    now = _now(met)
    if not now:
        return f"; touched up{at or ' after that'}, and nobody looked since"
    eye = " by eye" * bool(result.look(blade, "after").measured)
    return f"; {_off(met, at)}: {now} on it now{eye}"


def _at(result, blade):
    """After how many strokes an edge was touched up; "" where it never was in the test."""
    made = [one["chops"] for one in result.events if one["blade"] == blade and one["chops"]]
    return f" after {listed(map(str, made))} strokes" if made else ""


def _off(met, at):
    """What touching up took off, and of which kinds nobody looked how much."""
    off = [counted(one.taken, one.kind[:-1]) for one in met if one.taken]
    kinds = [one.kind for one in met if one.taken is None]
    in_all = " in all" * (" and " in at)  # of several times: which took what is in the rows
    what = (
        f"touching up{at} took {listed(off)} off{in_all}" if off else f"its edge was touched up{at}"
    )
    return what + (f" (how many {' and '.join(kinds)} is not known)" if kinds else "")


def _now(met):
    """What was counted on the edge as it stands; "" where nobody looked."""
    here = [one for one in met if one.now is not None]
    if not here:
        return ""
    are = "is" if sum(one.now for one in here) == len(here) == 1 else "are"
    return f"{listed([counted(one.now or 'no', one.kind[:-1]) for one in here])} {are}"
