"""Which rows of a log are left out, which count in spite of a mishap, and what blades lose by it?

Said of blades with the reasons that were typed, so that nobody counts rows to see that a blade
is gone.
"""

import re
from collections import defaultdict
from dataclasses import replace

from edgetest.doubts import Where, catalogue, doubt
from edgetest.study.wear.cut_no_further import lives_cut_short

# Doubts whose advice is to cut on, and what stands in their place where that cannot help.
CUT_ON = {
    "beyond_reach": "bound_left_out",  # as its life counts: one answer, not two
    "extrapolated": "later_left_out",
    "stopped_before_limit": "later_left_out",
    "life_is_a_bound": "bound_left_out",
    "never_reaches_limit": "levels_off_left_out",
    "not_at_these_cuts": "later_left_out_at_cuts",
}
IT_COUNTS = re.compile(r"\bit (still )?counts\b", re.IGNORECASE)
# The same with what leads up to it, as others read the words without it: "looked at: it counts".
LEADS_UP = re.compile(
    rf"[\s:;,.–—-]*(?:\b(?:so|and|but|that)\s+)?\(?{IT_COUNTS.pattern}\)?", re.IGNORECASE
)
ASKS_OF = "outlying_reading"  # whose advice has nothing left to ask once somebody looked
FEW = 3  # rows that are named one by one; own choice, so that a line stays one


def excluded_blades(readings):
    """Blades none of whose readings count, each with the reasons that were typed.

    Parameters
    ----------
    readings : sequence of UsedReading

    Returns
    -------
    dict of str to str
    """
    reasons: dict[str, dict[str, None]] = defaultdict(dict)
    kept = set()
    for each in readings:
        if not each.excluded:
            kept.add(each.blade)
        reasons[each.blade][each.reason.rstrip(".")] = None
    return {blade: "; ".join(why) for blade, why in reasons.items() if blade not in kept}


def left_out_doubts(log, readings):
    """Doubts about blades that are left out whole, and about mishaps whose rows count.

    Parameters
    ----------
    log : Log
    readings : sequence of UsedReading

    Returns
    -------
    tuple of Doubt
    """
    whole = excluded_blades(readings)
    found = [
        doubt("blade_excluded", where=Where(blade=blade), reason=why)
        for blade, why in whole.items()
    ]
    return (*found, *mishap_doubts(log.rows))


def mishap_doubts(rows):
    """The doubts about mishaps whose rows count: those to be looked at, and those that were.

    Parameters
    ----------
    rows : sequence
        Of a log of cutting or of chopping.

    Returns
    -------
    list of Doubt
    """
    looked, found = lines_looked_at(rows), []
    counting = [row for row in rows if mishap_counts(row, rows)]
    for code in ("mishap_kept", "mishap_counts"):
        own = [row for row in counting if (row.line in looked) == (code == "mishap_counts")]
        if which := "; ".join(by_blade(own, "mishap", kept=True, log=rows)):
            found.append(doubt(code, which=which))
    return found


def mishap_counts(row, rows):
    """Whether a reading counts that the mishap of a row may have spoilt: its own, or a later one.

    Parameters
    ----------
    row : LogRow or ChopRow
    rows : sequence
        The log's, in its order.
    """
    if row.exclude or not row.mishap:
        return False
    if not row.waiting or not hasattr(row, "cuts"):
        return True
    return any(not one.exclude for one in rows_read_after(row, rows))


def mishaps_told(rows):
    """Mishaps of rows that count, and those after which nothing counts that was read, in words.

    Parameters
    ----------
    rows : sequence
        Of a log, of cutting or of chopping.

    Returns
    -------
    (tuple of str, tuple of str)
        As `by_blade` says them; a row that is left out with a reason is in neither.
    """
    noted = [row for row in rows if row.mishap and not row.exclude]
    parts: tuple[list, list] = [], []
    for row in noted:
        parts[not mishap_counts(row, rows)].append(row)
    counts, idle = (tuple(by_blade(some, "mishap", kept=True, log=rows)) for some in parts)
    return counts, idle


def row_lines(left_out, counts, idle):
    """Lines of a check: rows left out, and mishaps with what became of the readings."""
    yield from (f"left out: {words}" for words in left_out)
    yield from (f"mishap, and it counts: {words}" for words in counts)
    yield from (f"mishap, and no reading after it counts: {words}" for words in idle)


def mishap_told(words):
    """A mishap or a note as others read it, without the word that its row counts."""
    return LEADS_UP.sub("", words).strip(" :;,.–—-") if IT_COUNTS.search(words) else words


def _noted(rows, column):
    """The rows with something in a column of words, each with these as others read them."""
    for row in rows:
        if words := getattr(row, column):
            yield row, mishap_told(words)


def lines_looked_at(rows):
    """Lines of the rows that a person looked at and kept: their note or mishap says so."""
    return {row.line for row in rows if IT_COUNTS.search(f"{row.mishap}; {row.note}")}


def told_as_looked_at(doubts, rows):
    """The doubts; of a reading that somebody looked at and kept none asks to look at it again.

    Parameters
    ----------
    doubts : sequence of Doubt
    rows : sequence
        Of the log.

    Returns
    -------
    tuple of Doubt
    """
    lines = lines_looked_at(rows)
    asks = catalogue()[ASKS_OF].says.partition("Nothing was dropped. ")[2]
    said = "You looked at it and noted that it counts, so it stands."
    return tuple(
        replace(one, text=one.text.replace(asks, said))
        if one.code == ASKS_OF and one.where.row in lines
        else one
        for one in doubts
    )


def by_blade(rows, column, *, kept, log=None):
    """The words of a column, once for each blade and each wording, with the rows they stand in.

    Parameters
    ----------
    rows : sequence
        Of a log of cutting or of chopping.
    column : str
        "exclude" or "mishap".
    kept : bool
        Whether of the rows that count; else of those left out.
    log : sequence, optional
        All rows, where `rows` are some of them: what was read after a mishap stands there.

    Returns
    -------
    list of str
        "H1 (row 12): bent over"; "H1, whole (…" where nothing of the blade is left.
    """
    lines = defaultdict(list)
    for row, words in _noted(rows, column):
        if words and bool(row.exclude) != kept:
            lines[row.blade, words.rstrip(".")].append(row.line)
    left = {row.blade for row in rows if not row.exclude and (row.photo or not row.waiting)}
    after = {row.line: rows_read_after(row, log or rows) for row in rows if kept}
    return [
        f"{blade}{'' if kept or blade in left else ', whole'} ({_rows(at)}"
        f"{_read_next(after.get(at[0], ())) if len(at) == 1 else ''}): {words}"
        for (blade, words), at in lines.items()
    ]


def rows_read_after(row, rows):
    """Rows of the first stage that was read after a mishap which has a row of its own.

    Parameters
    ----------
    row : LogRow or ChopRow
        With a mishap; of one that holds a reading itself, or of a chop test, nothing follows.
    rows : sequence
        The log's. Cuts say what came later: the bench puts a mishap below rows that still wait.

    Returns
    -------
    list of LogRow
        Of the stages that count, where one does. Empty where the blade was not read again.
    """
    if not row.mishap or not row.waiting or not hasattr(row, "cuts"):
        return []
    later = [
        one for one in rows
        if (one.blade, one.block) == (row.blade, row.block) and hasattr(one, "cuts")
        and (one.cuts, one.line) > (row.cuts, row.line) and (one.photo or not one.waiting)
    ]  # fmt: skip
    later = sorted(later, key=lambda one: (one.cuts, one.line))
    later = [one for one in later if not one.exclude] or later
    return [one for one in later if one.cuts == later[0].cuts]


def _read_next(rows):
    """Where to look for what such a mishap did: "; read next at 50 cuts, rows 51, 52"."""
    return (
        f"; read next at {rows[0].cuts:g} cuts, {_rows([one.line for one in rows])}" if rows else ""
    )


def _rows(lines):
    """Rows in words: each of a few, of many how many and the first and last."""
    if len(lines) > FEW:
        return f"{len(lines)} rows, {lines[0]} to {lines[-1]}"
    return f"row{'s' * (len(lines) > 1)} {', '.join(map(str, lines))}"


def without_cutting_on(doubts, cut_short):
    """The doubts; of a blade that is cut no further none says to cut it on.

    Parameters
    ----------
    doubts : sequence of Doubt
    cut_short : dict of str to str
        From `edgetest.study.wear.cut_no_further.cut_no_further`.

    Returns
    -------
    tuple of Doubt
    """
    plain = {code: catalogue()[code].says for code in CUT_ON}  # an earned one says more
    return tuple(
        dict.fromkeys(
            doubt(CUT_ON[one.code], where=one.where, why=cut_short[one.where.blade])
            if one.where.blade in cut_short and one.text == plain.get(one.code)
            else one
            for one in doubts
        )
    )


def fit_as_it_counts(fit, cut_short, rows):
    """The wear curves, their blades' doubts told by both rules above."""
    blades = (
        replace(each, doubts=told_as_looked_at(without_cutting_on(each.doubts, cut_short), rows))
        for each in fit.blades
    )
    return replace(fit, blades=tuple(blades))


def compared_as_it_counts(compared, cut_short, rows, beyond):
    """What is compared, its doubts and those of its comparison told in the same way.

    `beyond` names the blades, or their runs, whose lives lie beyond their last stage.
    """
    found = compared.comparison
    if found is not None:
        found = replace(found, doubts=without_cutting_on(found.doubts, cut_short))
    told = told_as_looked_at(without_cutting_on(compared.doubts, cut_short), rows)
    told = lives_cut_short(told, beyond, cut_short)
    kept = tuple(_as_looked_at(one, rows) for one in compared.alternatives)
    return replace(compared, comparison=found, doubts=told, alternatives=kept)


def _as_looked_at(one, rows):
    """Another answer; where it goes without a reading looked at and kept, it says so."""
    where = one.doubt.where
    if one.doubt.code != ASKS_OF or where.row not in lines_looked_at(rows):
        return one
    run = {(row.blade, row.block) for row in rows if row.line == where.row}
    cut = [row.cuts for row in rows if (row.blade, row.block) in run and not row.waiting]
    return replace(one, stands="there" if where.stage >= max(cut) else "worn")
