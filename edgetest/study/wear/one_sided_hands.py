"""Did a person or a day work on one heat treatment alone, so that it may pass for the treatment?"""

from collections import Counter

from edgetest.doubts import Where, doubt
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import counted, listed

# What a row is of, how it is spoken of, and what it may do to a reading.
FACTORS = {
    "operator": (lambda row: row.operator, "person", "persons"),
    "day": (lambda row: row.day or row.date, "day", "days"),
}
LET_EACH = "let each person cut blades of each heat treatment; if it was so, leave it"
LEAST_CUT = 3  # blades, from which on it is asked before all are cut. Our choice
LARGE_PART = 0.2  # of a heat treatment's readings, by a person or on a day of its alone; our choice


def one_sided_doubts(log, used, comparison, titles):
    """Whether a person or a day may pass for a heat treatment, wholly or in part.

    Parameters
    ----------
    log : RetentionLog
    used : iterable of UsedReading
        Readings of the fit, none left out.
    comparison : Comparison or None
    titles : mapping of str to str
        Titles of the heat treatments by their ids.

    Yields
    ------
    Doubt
        At most one a factor. A person with a single blade is told where another one had blades of
        both heat treatments. A factor on which blades of one heat treatment differ among
        themselves (each blade on a day of its own) is in their scatter and not doubted, nor in
        part what parted the rolls alike (each day a roll): rolls are weighed.
    """
    if comparison is None or comparison.scope == "blades":
        return
    compared = {group.treatment for group in comparison.groups}
    rows = {row.line: row for row in log.rows}
    mine = [one for one in used if one.heat_treatment in compared]
    for factor, (level_of, what, plural) in FACTORS.items():
        levels = [(one, level_of(rows[one.line])) for one in mine if one.line in rows]
        parted = _parts_rolls((rows[one.line].block, level) for one, level in levels if level)
        yield from _doubts_of(factor, levels, {"what": what, "plural": plural}, titles, parted)


def asked_of_persons(name, rows, study):
    """One question about a person who cut blades of one heat treatment alone.

    Asked once all were cut; where nobody had both, while blades are left that would mend it.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    study : Study

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    of = {blade.id: blade.heat_treatment for blade in study.blades if blade.id != study.control}
    read = [row for row in rows if not (row.waiting or row.exclude) and row.blade in of]
    told = [row for row in read if row.operator]
    sides = _sides(told, of)
    if len(sides) > 1 and all(len(each) == 1 for each in sides.values()):
        yield from _nobody_had_both(name, told, sides, of)
    elif {row.blade for row in read} == set(of):
        yield from _one_had_one(name, told, sides, of)


def _one_had_one(name, told, sides, of):
    """The question about the last person who had one heat treatment, where others had both."""
    one_sided = [row for row in told if len(sides[row.operator]) == 1]
    if one_sided and len(one_sided) < len(told):
        row = one_sided[-1]
        what = f"{row.operator} cut blades of {of[row.blade]} alone, and others cut both"
        yield cell_fault(name, row.line, "operator", what, LET_EACH)


def _nobody_had_both(name, told, sides, of):
    """The question where each person had one heat treatment, and together they had several."""
    blades = {row.blade for row in told}
    if len(set.union(*sides.values())) > 1 and (len(blades) >= LEAST_CUT or blades == set(of)):
        each = "; ".join(f"{who}: {next(iter(side))}" for who, side in sides.items())
        what = f"nobody cut blades of two heat treatments so far ({each})"
        yield cell_fault(name, told[-1].line, "operator", what, LET_EACH)


def _sides(rows, of):
    """Heat treatments by person."""
    sides: dict[str, set[str]] = {}
    for row in rows:
        sides.setdefault(row.operator, set()).add(of[row.blade])
    return sides


def _parts_rolls(pairs):
    """Whether every level had rolls of its own, all noted."""
    pairs = set(pairs)
    return len({block for block, _ in pairs}) == len(pairs) and all(block for block, _ in pairs)


def _doubts_of(factor, levels, words, titles, parted):
    """The doubt of one factor; none where it is not noted, or met by all heat treatments alike."""
    met: dict[str, dict[str, int]] = {}  # readings by level and heat treatment
    of_blades: dict[str, dict[str, set[str]]] = {}  # levels by heat treatment and blade
    in_use = Counter(one.heat_treatment for one, _ in levels)  # those without a level too
    for one, level in levels:
        if level:
            own = met.setdefault(level, {})
            own[one.heat_treatment] = own.get(one.heat_treatment, 0) + 1
            blades = of_blades.setdefault(one.heat_treatment, {})
            blades.setdefault(one.blade, set()).add(level)
    alone = {level: next(iter(own)) for level, own in met.items() if len(own) == 1}
    if len(met) < 2 or len(of_blades) < 2 or not alone:
        return
    where = Where(value=factor)
    if len(alone) == len(met) and _alike(of_blades):
        seen = "; ".join(f"{level}: {titles.get(name, name)}" for level, name in alone.items())
        yield doubt("treatment_of_one_hand", seen=seen, where=where, **words)
    elif not parted and (parts := _parts(alone, met, of_blades, titles, factor, in_use)):
        yield doubt("hand_on_one_side", seen=listed(parts), where=where, **words)


def _alike(of_blades):
    """Whether all blades of some heat treatment, two at the least, met the same levels."""
    return any(
        len(blades) > 1 and len(set(map(frozenset, blades.values()))) == 1
        for blades in of_blades.values()
    )


def _parts(alone, met, of_blades, titles, factor, in_use):
    """Levels that met one heat treatment alone, with a large share of it.

    One blade is enough where it is a person's, and another person had both sides: who then had
    the others is on one side more than on the other.
    """
    parts = []
    least = 1 if factor == "operator" and len(alone) < len(met) else 2  # blades
    for level, name in alone.items():
        readings = in_use[name]
        blades = sum(level in levels for levels in of_blades[name].values())
        if blades >= least and met[level][name] >= LARGE_PART * readings:
            share = f"{met[level][name]} of its {counted(readings, 'reading')}"
            parts.append(f"{level} {titles.get(name, name)} alone ({share})")
    return parts
