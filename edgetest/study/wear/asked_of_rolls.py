"""Did one heat treatment meet a roll of the medium earlier than another? Asked at the bench."""

from math import inf
from typing import Any

from edgetest.store.table_faults import cell_fault
from edgetest.study.wear.rolls_cut import roll_of_rows
from edgetest.study.words import listed
from edgetest.wear.compare.roll_shares import TOLD, roll_shares, shares_of_runs

LEAST_CUT = 3  # blades, from which on it is asked. Our choice
MEND = "cut the other blades up to the same cuts on each roll too; if it was so, leave it"


def asked_of_rolls(name, rows, study):
    """The question about a roll that one heat treatment met earlier than the other.

    Asked up to the cuts that all blades reached, and not while blades of one heat treatment are
    still to come: while each has as many as the others, or all were cut.

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
    of = {blade.id: blade.heat_treatment for blade in study.blades
          if blade.id != study.control and blade.heat_treatment}  # fmt: skip
    if len(set(of.values())) < 2:
        return
    cut = [row for row in rows_cut(rows) if row.blade in of]
    last: dict[str, int] = {}
    for row in cut:
        last[row.blade] = max(row.cuts, last.get(row.blade, 0))
    if len(last) < LEAST_CUT or not _none_to_come(of, last) or not min(last.values()):
        return
    seen = next(_unlike(cut, of, min(last.values())), "")
    if seen:
        what = f"the heat treatments did not share the rolls alike ({seen})"
        yield cell_fault(name, cut[-1].line, "batch", what, MEND)


def _none_to_come(of, cut):
    """Whether each of several heat treatments has as many blades cut, or all were cut."""
    counts = [sum(of[blade] == side for blade in cut) for side in set(of.values())]
    return len(counts) > 1 and (len(set(counts)) == 1 or set(cut) == set(of))


def _unlike(cut, of, reached):
    """In words, the shares of the first heat treatment and of each that had others."""
    run = [f"{row.blade}\n{row.block}" for row in cut]
    stages, roll = [row.cuts for row in cut], roll_of_rows(cut)
    runs, rolls, shares = shares_of_runs(run, stages, roll, reached)
    side = [of[each.partition("\n")[0]] for each in runs]
    blocks = [each.partition("\n")[2] for each in runs]
    names = list(dict.fromkeys(side))
    for first, other in zip(names[:1] * len(names), names[1:], strict=False):
        found = roll_shares(
            shares, side, first, other, rolls=rolls, block=blocks if all(blocks) else None
        )
        if shares_apart(found):
            told = (first, found.first), (other, found.second)
            made = (f"{who} made {shares_in_words(rolls, each)}" for who, each in told)
            yield f"of the first {reached} cuts {'; '.join(made)}"


def rows_cut(rows):
    """The rows that tell on which roll a run was cut, also of those that are left out.

    Not those of a run that was spoilt, and cut again under the same name: later rows that count
    go back to as few cuts.

    Parameters
    ----------
    rows : sequence of LogRow

    Returns
    -------
    list of LogRow
    """
    kept: list[Any] = []
    fewest: dict[tuple[str, str], float] = {}
    for row in reversed(rows):
        run = row.block, row.blade
        if row.waiting or (row.exclude and row.cuts >= fewest.get(run, inf)):
            continue
        kept.append(row)
        if not row.exclude:
            fewest[run] = min(row.cuts, fewest.get(run, inf))
    return kept[::-1]


def shares_apart(shares):
    """Whether shares are so unlike that it is told."""
    return shares is not None and shares.unlike >= TOLD


def shares_in_words(rolls, shares):
    """Where a heat treatment was cut: "53 % on roll 1 and 47 % on roll 2"."""
    return listed(
        f"{100 * share:.0f} % on {roll or 'a roll not noted'}"
        for roll, share in zip(rolls, shares, strict=True)
        if share > 0
    )
