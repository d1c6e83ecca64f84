"""Which blades are cut no further, and why? None of them is bidden to be cut on.

A blade that chipped, cracked or was ended at the bench has no later readings to be had: another
blade has to stand in for it.
"""

from dataclasses import replace

from edgetest.study.bench.session_file import read_session
from edgetest.study.words import listed

READINGS = "The later readings of this blade are left out"
STAGES = "The later stages of this blade are left out"
ENDED = "This blade was ended at the bench"
BEYOND = "lives_beyond_readings"
CUT_THOSE = "Cut those blades on until they reach the limit, if they are sound, or choose a nearer"
CHOOSE = "Choose a nearer limit, or test more blades: none of those is to be cut on."


def cut_no_further(source, fit, readings):
    """Blades and runs that end before their limit, each with the reason in words.

    Parameters
    ----------
    source : Source
        Its log, and what was ended at its bench.
    fit : StudyFit
        A blade that was ended behind its limit is not meant.
    readings : sequence of UsedReading

    Returns
    -------
    dict of str to str
    """
    last: dict[str, float] = {}
    later: dict[str, float] = {}
    names: dict[tuple[str, str], set[str]] = {}
    block_of = {row.line: row.block for row in source.log.rows}
    for each in readings:
        mine = {each.run, each.blade}
        names.setdefault((block_of.get(each.line, ""), each.blade), set()).update(mine)
        for name in mine:
            known = later if each.excluded else last
            known[name] = max(each.cuts, known.get(name, 0.0))
    ended = _named(names, read_session(source.path).ended) & _short_of_limit(fit)
    stages = {
        run
        for run, cuts in _never_to_be_read(source.log.rows).items()
        if cuts > max((last.get(name, cuts) for name in names.get(run, ())), default=cuts)
    }
    return {
        **dict.fromkeys(ended, ENDED),
        **dict.fromkeys(_named(names, stages), STAGES),
        **{name: READINGS for name, cuts in later.items() if cuts > last.get(name, cuts)},
    }  # fmt: skip


def lives_beyond(fit):
    """Names of the curves whose lives lie beyond the last stage, and count there."""
    lives = {one.blade: one.life for one in fit.blades if one.life is not None}
    return {name for name, life in lives.items() if life.extrapolated and not life.beyond_reach}


def _short_of_limit(fit):
    """Names of the curves that did not reach the limit, or not surely."""
    lives = {one.blade: one.life for one in fit.blades if one.life is not None}
    return {name for name, life in lives.items()
            if life.extrapolated or life.beyond_reach or life.censored}  # fmt: skip


def _named(names, runs):
    """What blade and run of each (block, blade) are called among the curves."""
    return set().union(*(names.get(run, ()) for run in runs))


def _never_to_be_read(rows):
    """Of each run whose blank rows all have a reason in `exclude`: the last cuts of those."""
    blank = [row for row in rows if row.waiting]
    open_ = {(row.block, row.blade) for row in blank
             if not (row.exclude or row.note or row.mishap)}  # fmt: skip
    found: dict[tuple[str, str], float] = {}
    for row in blank:
        run = (row.block, row.blade)
        if row.exclude and run not in open_:
            found[run] = max(row.cuts, found.get(run, 0.0))
    return found


def lives_cut_short(doubts, beyond, cut_short):
    """The doubts; that many lives lie beyond their stages bids only sound blades to be cut on.

    Parameters
    ----------
    doubts : sequence of Doubt
    beyond : set of str
        Curves whose lives lie there.
    cut_short : dict of str to str
        From `cut_no_further`.

    Returns
    -------
    tuple of Doubt
    """
    ended = sorted(beyond & cut_short.keys())
    if not ended:
        return tuple(doubts)
    told = CHOOSE
    if len(ended) < len(beyond):
        told = (
            f"Cut the others on until they reach the limit, if they are sound, not {listed(ended)};"
            " or choose a nearer limit."
        )
    return tuple(
        replace(one, text=one.text.replace(f"{CUT_THOSE} limit.", told))
        if one.code == BEYOND else one
        for one in doubts
    )  # fmt: skip
