"""Which pieces of a mean had a knot in the cut, and what the others took."""

from edgetest.study.words import counted

MOST_COUNTS = 5  # strokes of knotted pieces that are told one by one


def knots_in_mean(pieces, one):
    """The knotted pieces of one mean and the mean of the others; "" where none had a knot.

    Parameters
    ----------
    pieces : sequence of Severing
        Of the whole test.
    one : AsChopped
        The mean: knots cost strokes, so that it lies above that of clear wood.

    Returns
    -------
    str
    """
    mine = [piece for piece in pieces if piece.row in one.rows]
    knotted = [piece for piece in mine if piece.knots]
    clear = [piece for piece in mine if not piece.knots]
    if not knotted:
        return ""
    if not clear:
        return "it had a knot in the cut" if len(mine) == 1 else "all had knots in the cut"
    took = ", ".join(str(piece.piece.shown) for piece in knotted)
    took = f" ({took} strokes)" if len(knotted) <= MOST_COUNTS else ""
    return f"{len(knotted)} of {len(mine)} had a knot in the cut{took}{_others(clear)}"


def _others(clear):
    """What the clear pieces took; "" where one of them still stands."""
    if not all(piece.severed for piece in clear):
        return ""
    mean = f"{sum(piece.chops for piece in clear) / len(clear):.1f}".removesuffix(".0")
    others = "other took" if len(clear) == 1 else f"other {len(clear)} average"
    return f"; the {others} {mean}"


def knots_sentence(pieces, one):
    """`knots_in_mean` as a sentence of the sheet; "" where no piece had a knot."""
    told = knots_in_mean(pieces, one)
    if not told[:1].isdigit():
        return f"{told[:1].upper()}{told[1:]}." if told else ""
    few, _, rest = told.partition(" of ")
    number, _, rest = rest.partition(" ")
    return f"{few} of {counted(int(number), 'piece')} {rest}."
