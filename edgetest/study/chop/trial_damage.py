"""Which damage was first counted after a trial, which may have made it, not the chopping?"""

from collections import Counter

from edgetest.doubts import Where, doubt
from edgetest.study.chop.edge_damage import KINDS, damage_by_row
from edgetest.study.words import counted, listed

HARD_TRIALS = ("knot", "nail", "bone", "antler", "flex", "bend", "rope")


def first_at_trials(rows, blade, kind):
    """How much new damage of a kind was first counted at a hard trial of a blade, or next after.

    Parameters
    ----------
    rows : sequence of ChopRow
        The whole log.
    blade : str
    kind : {"chips", "rolls"}

    Returns
    -------
    dict of str to int
        By trial, or trials, that no look parts from the count; empty where none stands between.
    """
    damage, last = damage_by_row(rows), 0.0
    at: Counter[str] = Counter()
    unseen: dict[str, None] = {}  # trials since this kind was last looked for
    for row in rows:
        if row.blade != blade or not row.look_counts:
            continue
        if row.kind in HARD_TRIALS and not row.waiting:
            unseen[row.kind] = None
        if getattr(row, f"{kind}_count") is None:
            continue
        new = damage[row.line].new(kind) or 0
        if unseen and new > last:
            at[listed(unseen)] += int(new - last)
        last, unseen = max(new, last), {}
    return dict(at)


def trial_words(rows, blade, kind):
    """That a trial may have made damage of a kind; "" where none was first counted at one.

    Parameters
    ----------
    rows, blade, kind
        As in `first_at_trials`.

    Returns
    -------
    str
        "1 chip first counted after the nail trial, which may have made it"
    """
    found = first_at_trials(rows, blade, kind)
    if not found:
        return ""
    many = sum(found.values())
    made = "it" if many == 1 else "them"
    what = counted(many, kind.removesuffix("s"))
    return f"{what} first counted after the {listed(found)} trial, which may have made {made}"


def trial_doubts(found, rows):
    """A doubt for each blade whose new damage, counted by eye, a trial may have made.

    Parameters
    ----------
    found : sequence of Look
    rows : sequence of ChopRow
        The whole log.

    Yields
    ------
    Doubt
    """
    for look in found:
        if (look.when, look.source) == ("after", "log"):
            told = [words for kind in KINDS if (words := trial_words(rows, look.blade, kind))]
            if told:
                yield doubt("trial_may_have_made", what=f"{look.blade}: {'; '.join(told)}",
                            where=Where(blade=look.blade))  # fmt: skip
