"""Whose hand chopped with which tool: is a comparison of two tools one of two hands, too?"""

from edgetest.doubts import Where, doubt
from edgetest.store.chop_log import struck_pieces
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import listed

MEND = "let each hand chop with both, a piece each of every board; if it was so, leave it"


def hands_of(pieces):
    """Hands that chopped with each tool, as noted, in their order.

    Parameters
    ----------
    pieces : sequence of Severing or ChopRow

    Returns
    -------
    dict of str to dict of str to None
        Hands by tool; a piece whose hand is not noted counts for none.
    """
    found: dict[str, dict[str, None]] = {}
    for piece in pieces:
        if piece.operator:
            found.setdefault(piece.blade, {})[piece.operator] = None
    return found


def hands_doubts(pieces, first, second):
    """The doubt about two tools that other hands chopped with, on every piece or on some boards.

    Parameters
    ----------
    pieces : sequence of Severing
        Those that count.
    first, second : str
        The two tools.

    Yields
    ------
    Doubt
    """
    code, told, _ = _told(pieces, first, second)
    if code:
        yield doubt(code, first=first, second=second, hands=told,
                    where=Where(blade=first, other=second))  # fmt: skip


def asked_of_hands(name, rows, line=None):
    """One question about the first two tools of a log that other hands chopped with.

    A last board of which a tool has fewer pieces may be under way: the next row may answer, so
    it is left out here, not in `hands_doubts`.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
        The whole log.
    line : int, optional
        Ask about this row alone.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    pieces = _without_board_under_way(struck_pieces(rows))
    tools = list(dict.fromkeys(piece.blade for piece in pieces))
    for number, first in enumerate(tools):
        for second in tools[number + 1 :]:
            _, told, odd = _told(pieces, first, second)
            if told and line in (None, odd.line):
                what = f"other hands chopped with {first} than with {second} ({told})"
                yield cell_fault(name, odd.line, "operator", what, MEND)
                return


def _without_board_under_way(pieces):
    """The pieces but those of the last board, where some tool has fewer of it than another."""
    if not pieces or not pieces[-1].board:
        return pieces
    board = pieces[-1].board
    own = {tool: 0 for tool in dict.fromkeys(piece.blade for piece in pieces)}
    for piece in pieces:
        own[piece.blade] += piece.board == board
    if len(set(own.values())) == 1:
        return pieces
    return [piece for piece in pieces if piece.board != board]


def _told(pieces, first, second):
    """A doubt's code, whose hands in words and the last piece of the second tool concerned."""
    both = [piece for piece in pieces if piece.blade in (first, second)]
    hands = hands_of(both)
    if len(hands) < 2:
        return "", "", None
    if not set(hands[first]) & set(hands[second]):
        return "hands_apart", _words(hands, first, second), both[-1]
    groups, odd = _groups(both), {}
    for name, own in groups.items():
        seen = hands_of(own)
        if len(seen) == 2 and set(seen[first]) != set(seen[second]):
            odd[name] = _words(seen, first, second)
    if not odd:
        lone = _of_one_tool(both, hands)
        words = f"all pieces together: {_words(hands, first, second)}"
        return ("hands_unlike", words, lone[-1]) if lone else ("", "", None)
    told = "; ".join(f"{name}: {words}" for name, words in odd.items())
    return "hands_unlike", told, groups[next(iter(odd))][-1]


def _of_one_tool(both, hands):
    """Pieces by a hand that surely never had the other tool: each piece of that one is noted."""
    blank = {piece.blade for piece in both if not piece.operator}
    return [
        piece for piece in both
        if any(piece.operator and piece.operator not in had
               for tool, had in hands.items() if tool != piece.blade and tool not in blank)
    ]  # fmt: skip


def _groups(both):
    """Pieces of each board that both tools share, by its name, and all others together."""
    boards: dict[str, list] = {}
    for piece in both:
        boards.setdefault(piece.board, []).append(piece)
    shared = {name for name, own in boards.items() if name and len({p.blade for p in own}) == 2}
    rest = [piece for piece in both if piece.board not in shared]
    return {**{name: boards[name] for name in boards if name in shared}, "other pieces": rest}


def _words(hands, *tools):
    return ", ".join(f"{tool} by {listed(list(hands[tool]))}" for tool in tools)
