"""Which looks at an edge, strokes that no look followed, and strokes that missed, are told?"""

from typing import TYPE_CHECKING

from edgetest.chop.chop_report import ChopReport
from edgetest.estimate import format_estimate
from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.words import counted

if TYPE_CHECKING:  # the first page of the app waits for no library of pictures
    from edgetest.study.chop.chop_looks import Look


def told_looks(found):
    """Looks in sentences; of those between pieces the ones that showed more than before.

    Parameters
    ----------
    found : sequence of Look

    Yields
    ------
    str
    """
    quiet: dict[str, int] = {}
    for look in found:
        if look.when == "between" and not look.photos and not _showed_more(look):
            quiet[look.blade] = quiet.get(look.blade, 0) + 1
        else:
            yield look.summary()
    for blade, many in quiet.items():
        yield f"{blade}: {counted(many, 'look')} between pieces showed nothing new"


def _showed_more(look: "Look") -> bool:
    """Whether a count first stood so high at this look."""
    stands = look.standing
    return any(stands.worst(kind) and stands.came_after(kind) in look.rows for kind in KINDS)


def strokes_unseen(look: "Look", rows):
    """Strokes that the blade of a look made after it, 0 where it made none.

    Parameters
    ----------
    look : Look
    rows : sequence of ChopRow
        The whole log.

    Returns
    -------
    int
    """
    made, lines = strokes(rows), [row.line for row in rows if row.blade == look.blade]
    return max((made[line][1] for line in lines), default=look.chops) - look.chops


def strokes_stoned_unseen(found, blade, rows):
    """Strokes of a blade's edges that no look for chips followed before these were touched up.

    What they did to the edge the stone may have taken away: no later look speaks for it.

    Parameters
    ----------
    found : sequence of Look
    blade : str
    rows : sequence of ChopRow
        The whole log.

    Returns
    -------
    int
    """
    made, seen, unseen = strokes(rows), 0, 0
    pictured = {line for one in found if (one.blade, one.source) == (blade, "photographs")
                for line in one.rows}  # fmt: skip
    for row in rows:
        if row.blade != blade:
            continue
        now = made[row.line][1]
        if row.kind == TOUCH_UP and not row.exclude:
            unseen += now - seen
            seen = now
        elif row.line in pictured or (row.look_counts and row.chips_count is not None):
            seen = now
    return unseen


def photographed_before(found, look):
    """Looks between pieces at the same edge as a later one, whose photographs are in use.

    Parameters
    ----------
    found : sequence of Look
    look : Look

    Returns
    -------
    list of Look
    """
    return [
        one for one in found
        if (one.blade, one.when, one.source) == (look.blade, "between", "photographs")
        and one.standing.edge == look.standing.edge and not one.fresh
    ]  # fmt: skip


def told_misses(report: ChopReport, pieces):
    """Strokes that missed the cut, a blade each, where they were counted on any piece.

    Parameters
    ----------
    report : ChopReport
    pieces : sequence of Severing

    Yields
    ------
    str
    """
    for blade in dict.fromkeys(piece.blade for piece in pieces):
        mine = [piece for piece in pieces if piece.blade == blade]
        known = [piece for piece in mine if piece.near_misses is not None]
        if not known:
            continue
        missed = sum(piece.near_misses for piece in known)
        made = counted(round(sum(piece.chops for piece in known)), "stroke")
        said, rate = f"{blade}: {missed} of {made} missed the cut", report.near_misses.get(blade)
        if rate is not None:
            share = (100 * end for end in (rate.value, rate.low, rate.high))
            said += f", {format_estimate(*share)} %"
        if len(known) < len(mine):
            said += f", counted on {len(known)} of {counted(len(mine), 'piece')}"
        yield said
