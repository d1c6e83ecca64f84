"""How does one tool's edge stand at the bench: are its new chips at the protocol's limit?"""

from dataclasses import dataclass

from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.chop_limit import limit_words
from edgetest.study.words import counted


@dataclass(frozen=True)
class ChipsPast:
    """A tool whose edge is taken as done; `old` where no look came before its work.

    `own` where the study has a limit of its own, and not the protocol's.
    """

    chips: int
    limit: float
    old: bool
    own: bool = False

    def summary(self):
        """The standing in a sentence."""
        kind = "chip" if self.old else "new chip"
        beside = ", new or old: its edge was not looked at before it was used" if self.old else ""
        whose = "the study" if self.own else "the protocol"
        return (
            f"{counted(self.chips, kind)} seen{beside}; "
            f"{whose} takes an edge as done at {limit_words('chips_count', self.limit)}"
        )


def chips_past(source, blade):
    """Whether the chips seen last on a tool's edge have reached the protocol's limit.

    Parameters
    ----------
    source : Source
        A sound study whose protocol is a chop test.
    blade : str

    Returns
    -------
    ChipsPast or None
        None where the edge as it is now has not reached the limit, or that is on something else.
    """
    rule = source.study.rules.limit
    rows = [row for row in source.chops.rows if row.blade == blade and row.look_counts]
    rows = _of_this_edge(rows)
    seen = [row for row in rows if row.chips_count is not None]
    if rule is None or rule.reading != "chips_count" or not seen:
        return None
    first = seen[0] if rows[0] is seen[0] and seen[0].kind == "inspection" else None
    chips = seen[-1].chips_count - (first.chips_count if first else 0)
    limit = float(source.study.limit_value)
    past = ChipsPast(chips, limit, first is None, own=limit != rule.value)
    return past if chips >= limit else None


def _of_this_edge(rows):
    """The rows below the last touch-up, which begins another edge."""
    stones = [at for at, row in enumerate(rows) if row.kind == TOUCH_UP]
    return rows[stones[-1] + 1 :] if stones else rows
