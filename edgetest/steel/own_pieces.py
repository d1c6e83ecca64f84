"""What have the shop's own pieces taught of an origin? Dirichlet counts added to the prior."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from edgetest.errors import UnusableInput
from edgetest.steel.fit_for_use import LEAST_LIFE
from edgetest.steel.steel_tables import STEELS, SteelTables

# How many pieces of the shop's own the habit of the trade is worth: after as many, both count
# alike; our choice, no measurement stands behind it.
PRIOR_PIECES = 10.0
FIT, UNFIT = "fit", "unfit"
OUTCOMES = (FIT, UNFIT, *STEELS)


@dataclass(frozen=True)
class OwnPieces:
    """Pieces of the shop whose truth is settled, by a trial blade or a laboratory."""

    origin: str
    turned_out: str  # one of OUTCOMES
    count: float = 1.0
    lot: str | None = None


def own_pieces(rows: Sequence[Mapping], origins: Sequence[str]):
    """The rows `[[own_pieces]]` of a shop's tables.

    Raises
    ------
    UnusableInput
        Naming the row where a word is unknown or the count no number above zero.
    """
    if not isinstance(rows, list):
        raise UnusableInput("not a list of rows", "tables, own_pieces", "write [[own_pieces]] rows")
    return tuple(_row(dict(row), f"own_pieces {at}", origins) for at, row in enumerate(rows, 1))


def _row(row, at, origins):
    """One row, checked."""
    known = {"origin": origins, "turned_out": OUTCOMES}
    unknown = [key for key in row if key not in (*known, "count", "lot")]
    if unknown:
        raise UnusableInput(f'no key "{unknown[0]}"', at, "known: origin, turned_out, count, lot")
    for key, words in known.items():
        row[key] = str(row.get(key, "")).strip().replace(" ", "_")
        if row[key] not in words:
            raise UnusableInput(f'{key} = "{row[key]}"', at, f"known: {', '.join(words)}")
    count = row.get("count", 1)
    if isinstance(count, bool) or not isinstance(count, int | float) or not 0 < count < 1e6:
        raise UnusableInput(f"count = {count!r}", at, "give the number of pieces, above zero")
    return OwnPieces(row["origin"], row["turned_out"], float(count), row.get("lot"))


def learned_prior(tables: SteelTables, origin: str) -> tuple[np.ndarray, float]:
    """Chance of each steel before any look, and how many pieces of the shop's own stand in it.

    The tables' chances are taken as `PRIOR_PIECES` pieces; the shop's own are added to them
    (the mean of a Dirichlet posterior). A piece of which only 'fit' or 'unfit' is known is
    shared out among the steels as the tables' chances and their fitness say. Pieces of one
    named lot are mostly one steel: beyond the first each counts by the chance of the tables
    that a lot is mixed.

    Returns
    -------
    prior : ndarray, shape (steels,)
    counted : float
        Zero where the shop has none of this origin.
    """
    prior = tables.prior(origin)
    own = [one for one in tables.own if one.origin == origin]
    if not own:
        return prior, 0.0
    fit = _fitness(tables)
    counts = np.zeros(len(STEELS))
    for one, weight in zip(own, weights_of(own, tables.row("mixed", "lot")["chance"]), strict=True):
        if one.turned_out in STEELS:
            counts[STEELS.index(one.turned_out)] += weight
        else:
            share = prior * (fit if one.turned_out == FIT else 1 - fit)
            counts += weight * share / share.sum()
    return (PRIOR_PIECES * prior + counts) / (PRIOR_PIECES + counts.sum()), float(counts.sum())


def weights_of(own, mixed):
    """Pieces that each row counts for; of a lot the first in full."""
    of_lot: dict[str, float] = {}
    for one in own:
        if one.lot is not None:
            of_lot[one.lot] = of_lot.get(one.lot, 0.0) + one.count
    return [
        one.count if one.lot is None else one.count * _lot_share(of_lot[one.lot], mixed)
        for one in own
    ]


def _lot_share(count, mixed):
    """What each of so many pieces of one lot counts for."""
    return 1.0 if count <= 1 else (1 + mixed * (count - 1)) / count


def _fitness(tables):
    """Chance of each steel to make an edge that lives, with a heat that a forge gives."""
    life, spread = tables.of_steels("life", "ratio"), tables.of_steels("life", "spread")
    return ndtr(np.log(life / LEAST_LIFE) / spread) * tables.of_steels("forge", "chance")
