"""Rolls, bundles and boards: which were noted, changed within a run, or met one side alone?"""

from collections import defaultdict
from itertools import groupby
from operator import itemgetter

from edgetest.study.wear.departed_facts import ProtocolDeparture
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.wear.places_departed import names_of
from edgetest.study.wear.rolls_cut import roll_of_rows
from edgetest.study.words import counted, listed


def _batch(rows, wish):
    """Whether anybody noted which roll, bundle or board was cut."""
    if rows and not any(row.block or row.batch for row in rows):
        yield ProtocolDeparture(
            "roll of the medium", wish, "no roll, bundle or board was noted",
            "A change of the medium cannot be told from a change of blade.",
        )  # fmt: skip
        return
    blank = sum(not (row.block or row.batch) for row in rows)  # asked for in the column block
    if 0 < blank < len(rows):
        yield ProtocolDeparture(
            "roll of the medium", wish, f"not noted in {blank} of {counted(len(rows), 'row')}",
            "A change of the medium cannot be told from a change of blade in those rows.",
        )  # fmt: skip


def rolls_departed(study, rows, runs, wish):
    """What the log notes otherwise than the protocol asks of the rolls that runs were cut on.

    Parameters
    ----------
    study : Study
    rows : sequence of LogRow
        Those that count.
    runs : dict of (str, str) to list of LogRow
        By block and blade.
    wish : str
        What the protocol asks for, as it is quoted.

    Yields
    ------
    ProtocolDeparture
    """
    yield from _batch(rows, wish)
    if any(row.batch for row in rows):
        rolls = roll_of_rows(rows)
        on = {id(row): roll for row, roll in zip(rows, rolls, strict=True)}
        yield from _changed(runs, on, wish)
        yield from _begun_unclear(runs, on, wish)
        yield from _shared(study, rows, rolls)


def _changed(runs, on, wish):
    """Runs whose roll of the medium changed, those that changed alike together."""
    alike = defaultdict(list)
    for run, those in runs.items():
        noted = sorted((row.cuts, on[id(row)]) for row in those if on[id(row)])
        if len({roll for _, roll in noted}) > 1:
            alike[_in_turn(noted)].append(run)
    if alike:
        told = "; ".join(f"{turns}: {names_of(mixed, runs)}" for turns, mixed in alike.items())
        yield ProtocolDeparture(
            "roll of the medium", wish, f"changed within the run: {told}",
            "A harder or milder roll bends the curve of wear as the edge itself would.",
        )  # fmt: skip


def _begun_unclear(runs, on, wish):
    """Runs that name only later the roll which the others of their block name at once."""
    alike = defaultdict(list)
    for run, those in runs.items():
        if not run[0]:
            continue  # rows that name neither block nor batch are told by their number
        noted = min((row.cuts for row in those if on[id(row)]), default=0)
        before = [row.cuts for row in those if row.cuts < noted]
        if before:
            alike[max(before)].append(run)
    if alike:
        told = "; ".join(f"to {cuts:g} cuts: {names_of(of, runs)}" for cuts, of in alike.items())
        yield ProtocolDeparture(
            "roll of the medium", wish, f"not noted {told}",
            "A change of the medium cannot be told from a change of blade in those rows.",
        )  # fmt: skip


def _in_turn(noted):
    """The rolls of a run, each up to its last stage: "roll 1 to 220 cuts, roll 2 to 400"."""
    turns = [(roll, max(cuts for cuts, _ in those))
             for roll, those in groupby(noted, key=itemgetter(1))]  # fmt: skip
    return ", ".join(
        f"{roll} to {cuts:g}{' cuts' * (k == 0)}" for k, (roll, cuts) in enumerate(turns)
    )


def _shared(study, rows, rolls):
    """Rolls of the medium that some heat treatments never met."""
    kinds = {blade.id: blade.heat_treatment for blade in study.blades if blade.heat_treatment}
    met = defaultdict(set)
    for row, roll in zip(rows, rolls, strict=True):
        if roll and row.blade in kinds:
            met[roll].add(kinds[row.blade])
    every = {kinds[row.blade] for row in rows if row.blade in kinds}
    alone = {batch: those for batch, those in met.items() if those < every}
    if alone:
        names = titles_of(study)
        words = (
            f"{batch}: {listed(sorted(names.get(one, one) for one in those))} alone"
            for batch, those in alone.items()
        )
        yield ProtocolDeparture(
            "roll of the medium", "every roll shared among the heat treatments",
            "; ".join(sorted(words)),
            "What such a roll did cannot be told from what the heat treatment did.",
        )  # fmt: skip
