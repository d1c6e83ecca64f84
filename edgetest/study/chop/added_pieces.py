"""Which pieces did a maker chop beside those that the protocol asks for?

What is done beside a protocol takes nothing from it: once a tool severed the pieces that are
asked for, pieces of another kind, size or wood are the maker's addition.
"""

import re
from collections import Counter

from edgetest.chop.as_chopped import GREEN_PCT
from edgetest.chop.species import said_as
from edgetest.chop.wood import water_of
from edgetest.store.chop_log import SEVERED
from edgetest.study.words import counted, listed

SIZE = re.compile(r"(\d+(?:\.\d+)?) mm by (\d+(?:\.\d+)?) mm")
SIZE_SHARE = 0.05  # a piece is sawn no truer (common practice, no source)


def pieces_of(protocol, rows):
    """The rows of the pieces or chops of a test; a piece of another kind is one."""
    kinds = SEVERED if severs(protocol) else protocol.chop_kinds
    return [row for row in rows if row.kind in kinds]


def severs(protocol):
    """Whether the protocol counts strokes for pieces; the depth of single chops otherwise."""
    return bool(set(protocol.chop_kinds) & set(SEVERED))


def own_and_added(protocol, rows):
    """One tool's pieces: those that count for the protocol, and those that the maker added.

    Parameters
    ----------
    protocol : Protocol
    rows : sequence of ChopRow
        Of one tool.

    Returns
    -------
    (list of ChopRow, list of ChopRow)
        Nothing is added where fewer pieces are as asked than the protocol wants: all count.
    """
    pieces = pieces_of(protocol, rows)
    if not severs(protocol):
        return pieces, []
    own = [row for row in pieces if _as_asked(protocol, row)]
    if "one species" in protocol.medium.kind and own:
        ((most, _),) = Counter(said_as(row.species) for row in own).most_common(1)
        own = [row for row in own if said_as(row.species) == most]
    if len(own) < len(protocol.stages):
        return pieces, []
    return own, [row for row in pieces if row not in own]


def added_words(rows):
    """What was added: 3 pieces of green hazel, round."""
    alike = Counter(
        (
            f"{'green ' * is_green(row.moisture_pct)}{said_as(row.species) or 'wood not noted'}",
            _shape(row),
        )
        for row in rows
    )
    return listed(f"{counted(n, 'piece')} of {wood}{how}" for (wood, how), n in alike.items())


def wanted_mm(protocol):
    """The two sides of a piece that the protocol asks for, mm; () where it names none."""
    told = SIZE.search(protocol.medium.size)
    return tuple(sorted(float(side) for side in told.groups())) if told else ()


def sides_mm(row):
    """The sides of a piece as typed, mm, one of a round one; () where nobody noted them."""
    if row.diameter_mm is not None:
        return (row.diameter_mm,)
    if row.width_mm is None or row.thickness_mm is None:
        return ()
    return tuple(sorted((row.width_mm, row.thickness_mm)))


def near_mm(size, wish):
    """Whether two sides are those asked for, as true as a piece is sawn."""
    return len(size) == 2 and all(
        abs(side - due) <= SIZE_SHARE * due for side, due in zip(size, wish, strict=True)
    )


def wants_dry(protocol):
    """Whether the protocol asks for dry wood."""
    kind = protocol.medium.kind
    return "seasoned" in kind or "dry" in kind


def is_green(moisture):
    """Whether wood is green, by a word or by its percent; not where nobody noted it."""
    return moisture is not None and water_of(moisture).pct >= GREEN_PCT


def _shape(row):
    """Round, or the two sides; "" where neither was noted."""
    size = sides_mm(row)
    if len(size) == 1:
        return ", round"
    return f", {size[0]:.3g} mm × {size[1]:.3g} mm" if size else ""


def _as_asked(protocol, row):
    """Whether kind, size and water of a piece are those of the protocol, as far as noted."""
    size, wish = sides_mm(row), wanted_mm(protocol)
    sized = not size or not wish or near_mm(size, wish)
    dry = not wants_dry(protocol) or not is_green(row.moisture_pct)
    return row.kind in protocol.chop_kinds and sized and dry
