"""Which damage was first counted after a trial or a mishap, and not of the chopping alone?"""

from collections import Counter

from edgetest.doubts import Where, doubt
from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.edge_damage import KINDS, damage_by_row
from edgetest.study.chop.told_notes import only_a_knot
from edgetest.study.wear.left_out_rows import mishap_told
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
    at: Counter[str] = Counter()
    for causes, new, _ in _first_after(rows, blade, kind, _trial):
        at[causes] += new
    return dict(at)


def _trial(row):
    return row.kind if row.kind in HARD_TRIALS and not row.waiting else ""


def _mishap(row):
    told = mishap_told(row.mishap).strip(" ;,.")
    return f"“{told}”" if told and not only_a_knot(row) else ""


def _first_after(rows, blade, kind, cause):
    """New damage first counted at a row that has a cause, or next after.

    Yields the cause or causes, how much damage, and whether the row that counts it has a cause.
    """
    damage, last = damage_by_row(rows), 0.0
    unseen: dict[str, None] = {}  # causes since this kind was last looked for
    for row in rows:
        if row.blade == blade and row.kind == TOUCH_UP and not row.exclude and kind == "rolls":
            unseen = {}  # a stone takes a roll away, not every chip
        if row.blade != blade or not row.look_counts:
            continue
        if words := cause(row):
            unseen[words] = None
        if getattr(row, f"{kind}_count") is None:
            continue
        new = damage[row.line].new(kind) or 0
        if unseen and new > last:
            yield listed(unseen), int(new - last), bool(words)
        last, unseen = max(new, last), {}


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


def mishap_words(rows, blade, kind):
    """That a mishap is noted where damage of a kind was first counted, or before; "" for none.

    Parameters
    ----------
    rows, blade, kind
        As in `first_at_trials`.

    Returns
    -------
    str
        "1 chip first counted where a mishap is noted: “hit the clamp”"; "at a look after a mishap
        was noted" where another row than the counting one notes it
    """
    found = list(_first_after(rows, blade, kind, _mishap))
    if not found:
        return ""
    what = counted(sum(new for _, new, _ in found), kind.removesuffix("s"))
    there = all(at_once for _, _, at_once in found)
    when = "where a mishap is noted" if there else "at a look after a mishap was noted"
    return f"{what} first counted {when}: {listed(dict.fromkeys(one for one, _, _ in found))}"


def causes_words(rows, blade):
    """Mishaps and hard trials of a tool; "" where there are none.

    Told of damage that photographs show and no count by eye parts from them.

    Returns
    -------
    str
        "among its strokes, a mishap is noted: “hit the clamp”; a nail trial was made"
    """
    mine = [row for row in rows if row.blade == blade]
    mishaps = dict.fromkeys(words for row in mine if (words := _mishap(row)))
    trials = dict.fromkeys(words for row in mine if (words := _trial(row)))
    told = [f"a mishap is noted among its strokes: {listed(mishaps)}"] if mishaps else []
    told += [f"the {listed(trials)} trial may have made some"] if trials else []
    return "; ".join(told)


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
        if look.when == "after" and look.source is not None:
            told = [words for kind in KINDS if (words := trial_words(rows, look.blade, kind))]
            if told:
                yield doubt("trial_may_have_made", what=f"{look.blade}: {'; '.join(told)}",
                            where=Where(blade=look.blade))  # fmt: skip
