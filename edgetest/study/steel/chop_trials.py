"""What does the chop log say of a steel's blades beside the blade of known steel?"""

from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_ratio
from edgetest.steel.steel_seen import TrialSeen
from edgetest.store.workspace import log_path
from edgetest.study.steel.blade_heats import Home


def chop_trials(folder, homes: dict[str, Home], known) -> tuple[TrialSeen, ...]:
    """Each blade's new chips and rolls per chop against those of the known blades.

    Worse or better is said where the exact interval of the ratio of the two rates leaves no
    doubt; a blade without damage has a sound edge; else nothing is claimed.

    Parameters
    ----------
    folder : path-like
        The study.
    homes : dict of str to Home
        The blades of the unknown steel.
    known : sequence of str
        The blades of known steel.

    Returns
    -------
    tuple of TrialSeen
        Empty without a chop log, or where no known blade was chopped with.
    """
    if log_path(folder, "chops") is None or not homes or not known:
        return ()
    new, chops = _damage(folder)
    beside = [blade for blade in known if blade in chops]
    if not beside:
        return ()
    base = sum(sum(new[b].values()) for b in beside), sum(chops[b] for b in beside)
    found = (_trial(b, homes[b], new[b], chops[b], base) for b in chops if b in homes)
    return tuple(trial for trial in found if trial is not None)


def _damage(folder):
    """New chips and rolls by kind, and chops, of each blade of which it is known what is new."""
    from edgetest.study.chop.chop_analysis import analyse_chops
    from edgetest.study.sources import open_chops

    new: dict[str, dict[str, int | None]] = {}
    chops: dict[str, int] = {}
    chopped = open_chops(folder)
    if all(row.waiting for row in chopped.chops.rows):
        return {}, {}  # the log was made, and nothing is chopped yet
    for one in analyse_chops(chopped).growth:
        if one.chops:
            new.setdefault(one.blade, {})[one.kind] = one.new
            chops[one.blade] = one.chops
    told = {blade: kinds for blade, kinds in new.items() if None not in kinds.values()}
    return told, {blade: chops[blade] for blade in told}


def _trial(blade, home, new, chops, base):
    """One blade as a chop trial; None where its damage tells nothing."""
    count, result = sum(new.values()), None
    try:
        ratio = poisson_ratio(count, chops, *base)
    except UnusableInput:
        ratio = None  # no damage on either side
    if ratio is not None:
        result = "worse" if ratio.low > 1 else "better" if ratio.high < 1 else None
    edge = "sound" if count == 0 else None
    if result == "worse":
        edge = "chipped" if new.get("chips", 0) >= new.get("rolls", 0) else "rolled"
    if result is None and edge is None:
        return None
    return TrialSeen(
        home.piece, "chop", result, edge, heat=(blade, 1), carburised=home.carburised,
        strokes=int(chops),
    )  # fmt: skip
