"""What touching up took off a tool's edge, and what is on it now, in words that add up."""

from edgetest.study.chop.touched_off import touched_off
from edgetest.study.words import counted, listed


def touched_up_words(result, blade):
    """What touching up took off by eye, and what is on the edge now; "" where it took nothing.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    str
        "; touching up took 1 chip and 1 roll off: 2 chips and 1 roll are on it now"
    """
    met = [one for one in touched_off(result.log.rows, blade) if one.most]
    off = [counted(one.taken, one.kind[:-1]) for one in met if one.taken]
    unknown = [one.kind for one in met if one.taken is None]
    if not off and not unknown:
        return ""
    now = _now([one for one in met if one.now is not None])
    if not now:
        return "; touched up after that, and nobody looked since"
    eye = " by eye" * bool(result.look(blade, "after").measured)
    what = f"touching up took {listed(off)} off" if off else "its edge was touched up"
    unsaid = f" (how many {' and '.join(unknown)} is not known)" if unknown else ""
    return f"; {what}{unsaid}: {now} on it now{eye}"


def _now(here):
    """What was counted on the edge as it stands; "" where nobody looked."""
    if not here:
        return ""
    are = "is" if sum(one.now for one in here) == len(here) == 1 else "are"
    return f"{listed([counted(one.now or 'no', one.kind[:-1]) for one in here])} {are}"
