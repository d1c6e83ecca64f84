"""Which rows of a log are left out, which count in spite of a mishap, and what blades lose by it?

Said of blades with the reasons that were typed, so that nobody counts rows to see that a blade
is gone.
"""

from collections import defaultdict
from dataclasses import replace

from edgetest.doubts import Where, catalogue, doubt

# Doubts whose advice is to cut on, and what stands in their place where that cannot help.
CUT_ON = {
    "beyond_reach": "later_left_out",
    "extrapolated": "later_left_out",
    "stopped_before_limit": "later_left_out",
    "life_is_a_bound": "bound_left_out",
    "not_at_these_cuts": "later_left_out_at_cuts",
}
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
    which = "; ".join(by_blade(log.rows, "mishap", kept=True))
    return (*found, *([doubt("mishap_kept", which=which)] if which else []))


def by_blade(rows, column, *, kept):
    """The words of a column, once for each blade and each wording, with the rows they stand in.

    Parameters
    ----------
    rows : sequence
        Of a log of cutting or of chopping.
    column : str
        "exclude" or "mishap".
    kept : bool
        Whether of the rows that count; else of those left out.

    Returns
    -------
    list of str
        "H1 (row 12): bent over"; "H1, whole (…" where nothing of the blade is left.
    """
    lines = defaultdict(list)
    for row in rows:
        words = getattr(row, column)
        if words and bool(row.exclude) != kept:
            lines[row.blade, words.rstrip(".")].append(row.line)
    left = {row.blade for row in rows if not row.exclude and (row.photo or not row.waiting)}
    return [
        f"{blade}{'' if kept or blade in left else ', whole'} ({_rows(at)}): {words}"
        for (blade, words), at in lines.items()
    ]


def _rows(lines):
    """Rows in words: each of a few, of many how many and the first and last."""
    if len(lines) > FEW:
        return f"{len(lines)} rows, {lines[0]} to {lines[-1]}"
    return f"row{'s' * (len(lines) > 1)} {', '.join(map(str, lines))}"


def without_cutting_on(doubts, readings):
    """The doubts; of a blade whose later readings are left out none says to cut it on.

    Parameters
    ----------
    doubts : sequence of Doubt
    readings : sequence of UsedReading

    Returns
    -------
    tuple of Doubt
    """
    last: dict[str, float] = {}
    later: dict[str, float] = {}
    for each in readings:
        for name in {each.run, each.blade}:
            known = later if each.excluded else last
            known[name] = max(each.cuts, known.get(name, 0.0))
    plain = {code: catalogue()[code].says for code in CUT_ON}  # an earned one says more
    cut_short = {name for name, cuts in later.items() if cuts > last.get(name, cuts)}
    return tuple(
        dict.fromkeys(
            doubt(CUT_ON[one.code], where=one.where)
            if one.where.blade in cut_short and one.text == plain.get(one.code)
            else one
            for one in doubts
        )
    )


def fit_without_cutting_on(fit, readings):
    """The wear curves, their blades' doubts told by `without_cutting_on`."""
    blades = (
        replace(each, doubts=without_cutting_on(each.doubts, readings)) for each in fit.blades
    )
    return replace(fit, blades=tuple(blades))


def compared_without_cutting_on(compared, readings):
    """What is compared, its doubts and those of its comparison told by `without_cutting_on`."""
    found = compared.comparison
    if found is not None:
        found = replace(found, doubts=without_cutting_on(found.doubts, readings))
    told = without_cutting_on(compared.doubts, readings)
    return replace(compared, comparison=found, doubts=told)
