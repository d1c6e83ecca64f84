"""Which wood or water of a chopped piece can hardly be meant beside the others of its board?"""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence

from edgetest.chop.species import said_as, word_of_water
from edgetest.chop.wood import water_of
from edgetest.chop.wood_relations import FIBRE_SATURATION_PCT
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ChopRow, struck_pieces
from edgetest.store.table_faults import cell_fault
from edgetest.study.chop.board_words import noted_key, pieces_on_boards
from edgetest.study.chop.piece_woods import weighed_apart
from edgetest.study.words import listed

# Points of water by which two pieces of one board are asked about: a board's core and shell differ
# by two or three (common practice, no source). Above fibre saturation water changes no hardness.
WATERS_APART_PCT = 6.0


def asked_of_woods(
    name: str,
    rows: Sequence[ChopRow],
    line: int | None = None,
    own: Collection[str] = (),
) -> Iterator[UnusableInput]:
    """Questions about two woods, or two waters, on one board, and names that may tell a water.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
        The whole log, blanks as noted of their board: a wood is held against others of its board.
    line : int, optional
        Ask about this row alone.
    own : collection of str
        Names of the maker's own woods, which mean these and nothing else.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for row, column, what in (*_two_on_a_board(rows), *_weighed_apart(rows)):
        if line in (None, row.line):
            both = "write one for both, or name the board of each; if both are right, leave them"
            yield cell_fault(name, row.line, column, what, both)
    yield from _wood_or_water(name, rows, line, own)


def _wood_or_water(name, rows, line, own):
    """Each name that means a species and a wet wood alike, once; of one row, where it is asked."""
    mine = {" ".join(wood.casefold().split()) for wood in own}
    told: set[str] = set()
    for row in struck_pieces(rows):
        key = " ".join(row.species.casefold().split())
        word = word_of_water(row.species)
        if not word or key in mine or key in told or line not in (None, row.line):
            continue
        told.add(key)
        wood = said_as(row.species)
        what = f'"{row.species}" is taken as the species {wood}, not as a wood that is {word}'
        mend = f'write "{wood}" if that is it; else its species, and {word} under moisture_pct'
        yield cell_fault(name, row.line, "species", what, mend)


def wood_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each piece whose wood or water is not that of its board."""
    for row, column, what in (*_two_on_a_board(rows), *_weighed_apart(rows)):
        words = f"{name}, row {row.line}, {column}: {what}"
        yield doubt("piece_wood_asked", what=words, where=Where(name, row.line, row.blade))


def _two_on_a_board(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Pieces whose wood or water differs from that of most of their board; if they tie, later."""
    boards: dict[str, list[ChopRow]] = defaultdict(list)
    for row in struck_pieces(rows):
        if row.board:  # a block alone may be a round of several woods
            boards[row.board].append(row)
    pieces: dict[str, list[ChopRow]] = defaultdict(list)  # those that wait have words for it too
    for row in pieces_on_boards(rows):
        pieces[row.board].append(row)
    for label, those in boards.items():
        for column, unlike, shown in (
            ("species", _other_wood, lambda row: row.species),
            ("moisture_pct", _other_water, lambda row: _typed(row.moisture_pct)),
        ):
            noted = [row for row in those if getattr(row, column) not in (None, "")]
            for row, usual in _odd_ones(noted, unlike):
                what = f'"{shown(row)}", but "{shown(usual)}" in row {usual.line}, and both are'
                yield row, column, f'{what} of "{label}"'
            blanks = [row for row in those if row not in noted] if noted else []
            why = _why_blank(label, pieces[label], column, shown) if blanks else ""
            yield from ((row, column, f"blank, and {why}") for row in blanks)


def _why_blank(label, pieces, column, shown):
    """Why a blank is not taken from the other rows of its board, which say something there."""
    words: dict[str, ChopRow] = {}
    woods: dict[str, ChopRow] = {}
    for row in pieces:
        if getattr(row, column) not in (None, ""):
            words.setdefault(noted_key(column, getattr(row, column)), row)
        if row.species:
            woods.setdefault(noted_key("species", row.species), row)
    first = next(iter(words.values()))
    if len(words) > 1:
        told = f'("{shown(first)}" in row {first.line})'
        return f'the rows of "{label}" that say it do not say one thing alike {told}'
    told = listed(f'"{row.species}" in row {row.line}' for row in woods.values())
    return f'not taken from the other rows of "{label}", which are of {len(woods)} woods: {told}'


def _weighed_apart(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Pieces whose weight makes them another wood than the other pieces of their board."""
    for row, own, other, theirs in weighed_apart(struck_pieces(rows)):
        column = "density_kg_m3" if row.density_kg_m3 is not None else "mass_g"
        what = f"{own:.0f} kg/m³, but {theirs:.0f} in row {other.line}, and both are of"
        yield row, column, f'{what} "{row.board}", which counts with their mean'


def _odd_ones(
    rows: Sequence[ChopRow], unlike: Callable[[ChopRow, ChopRow], bool]
) -> Iterator[tuple[ChopRow, ChopRow]]:
    """Rows that are unlike the first of those that most are like, with it."""
    if rows:
        usual = min(rows, key=lambda row: sum(unlike(row, other) for other in rows))
        yield from ((row, usual) for row in rows if unlike(row, usual))


def _other_wood(row: ChopRow, other: ChopRow) -> bool:
    one, two = (" ".join(said_as(each.species).casefold().split()) for each in (row, other))
    return one != two


def _other_water(row: ChopRow, other: ChopRow) -> bool:
    try:
        waters = [water_of(each.moisture_pct).pct for each in (row, other)]
    except UnusableInput:
        return False  # `check` tells this fault itself
    one, two = (min(pct, FIBRE_SATURATION_PCT) for pct in waters)
    return abs(one - two) >= WATERS_APART_PCT


def _typed(water: str | float | None) -> str:
    """Water as it was typed, a number with its sign."""
    return water if isinstance(water, str) else f"{water:g} %"
