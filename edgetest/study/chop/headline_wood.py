"""Which of the woods and sizes that a tool chopped leads its sheet?

The one that `headline_wood` of study.toml names, else the one that most of its pieces were of.
"""

from collections import Counter

from edgetest.errors import UnusableInput
from edgetest.store.document_wishes import settings_of
from edgetest.study.chop.other_pieces import HEADLINE, rows_like
from edgetest.study.words import listed


def main_figure(result, blade):
    """The figure that leads a tool's sheet; None where it severed nothing.

    Of the kinds that `headline_wood` names the nearest in size, else that of most pieces, the
    first of equals. A tool that chopped none of them is led by the wood of most of its pieces,
    the first chopped of equals, in whatever sizes it came; of that wood by the kind of most.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    AsChopped or None

    Raises
    ------
    UnusableInput
        If `headline_wood` cannot be read, or names what no tool of the test chopped.
    """
    mine = [one for one in result.as_chopped if one.blade == blade]
    off = _named(result) if mine else {}
    wished = [one for one in mine if off.keys() & set(one.rows)]

    def nearest(one):
        return -min(off[row] for row in one.rows if row in off), one.pieces

    if wished:
        return max(wished, key=nearest)
    pieces: Counter[str | None] = (
        Counter()
    )  # of each wood, in the order in which it was first chopped
    for one in mine:
        pieces[one.wood] += one.pieces
    first = max(pieces, key=pieces.__getitem__, default=None)
    of_it = (one for one in mine if one.wood == first)
    return max(of_it, key=lambda one: one.pieces, default=None)


def _named(result):
    """Rows of the pieces that `headline_wood` names and how far each is off; none where blank."""
    wish = settings_of(result.study).headline_wood if result.study is not None else ""
    if not wish:
        return {}
    try:
        rows = rows_like(result, wish)
    except UnusableInput as fault:
        raise UnusableInput(fault.what, HEADLINE, fault.mend) from None
    if not rows:
        woods = listed(dict.fromkeys(one.wood for one in result.as_chopped if one.wood))
        of = f" ({woods})" if woods else ""
        mend = f"name a wood that was{of}, with a size only if it has several, or leave it out"
        raise UnusableInput(f'"{wish}" was not chopped', HEADLINE, mend)
    return rows
