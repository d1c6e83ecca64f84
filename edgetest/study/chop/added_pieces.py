"""Which pieces did a maker chop beside those that the protocol asks for?

What is done beside a protocol takes nothing from it: once a tool severed the pieces that are
asked for, pieces of another kind, size or wood are the maker's addition.
"""

from collections import Counter

from edgetest.chop.species import said_as
from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.asked_pieces import AskedPieces, is_green, sides_mm
from edgetest.study.words import counted, listed

NOTHING_ASKED = AskedPieces()


def pieces_of(protocol, rows):
    """The rows of the pieces or chops of a test; a piece of another kind is one."""
    kinds = SEVERED if severs(protocol) else protocol.chop_kinds
    return [row for row in rows if row.kind in kinds]


def severs(protocol):
    """Whether the protocol counts strokes for pieces; the depth of single chops otherwise."""
    return bool(set(protocol.chop_kinds) & set(SEVERED))


def own_and_added(protocol, rows, asked):
    """One tool's pieces: those that count for the protocol, and those that the maker added.

    Parameters
    ----------
    protocol : Protocol
    rows : sequence of ChopRow
        Of one tool.
    asked : AskedPieces

    Returns
    -------
    (list of ChopRow, list of ChopRow)
        Nothing is added where fewer pieces are as asked than the protocol wants: all count.
    """
    pieces = pieces_of(protocol, rows)
    if not severs(protocol):
        return pieces, []
    own = [row for row in pieces if _as_asked(protocol, row, asked)]
    if asked.one_species and own:
        ((most, _),) = Counter(said_as(row.species) for row in own).most_common(1)
        own = [row for row in own if said_as(row.species) == most]
    if len(own) < len(protocol.stages):
        return pieces, []
    return own, [row for row in pieces if row not in own]


def added_words(rows, asked=NOTHING_ASKED):
    """What was added: 3 pieces of green hazel, round; water and size where they are not as asked.

    Parameters
    ----------
    rows : sequence of ChopRow
    asked : AskedPieces, optional
        Pieces of one wood and shape are told by what differs from it: dry hazel, round, 60 mm.

    Returns
    -------
    str
    """
    alike = Counter((f"{_water(row, asked)}{_wood(row)}", _shape(row, asked)) for row in rows)
    return listed(f"{counted(n, 'piece')} of {wood}{how}" for (wood, how), n in alike.items())


def _wood(row):
    return said_as(row.species) or "wood not noted"


def _water(row, asked):
    """Green, and dry where the protocol asks for green."""
    if is_green(row.moisture_pct):
        return "green "
    return "" if asked.watered(row.moisture_pct) else "dry "


def _shape(row, asked):
    """Round, the two sides, or the trade size where none was measured; "" where none was noted.

    A round piece is told with its thickness where round ones of another are asked for.
    """
    measured = row.diameter_mm is not None or None not in (row.width_mm, row.thickness_mm)
    if row.nominal and not measured:
        return f", {row.nominal}"
    size = sides_mm(row)
    if len(size) == 1:
        thick = "" if not asked.round or asked.sized(size) else f", {size[0]:.3g} mm"
        return f", round{thick}"
    return f", {size[0]:.3g} mm × {size[1]:.3g} mm" if size else ""


def _as_asked(protocol, row, asked):
    """Whether kind, size, water and wood of a piece are the protocol's, as far as noted."""
    return (
        row.kind in protocol.chop_kinds
        and asked.sized(sides_mm(row))
        and asked.watered(row.moisture_pct)
        and asked.of_species(row.species)
    )
