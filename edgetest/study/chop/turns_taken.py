"""Did the tools take turns on each board, and where one did not, which got ahead there?"""

from collections import defaultdict
from itertools import groupby

from edgetest.doubts import doubt
from edgetest.store.chop_log import SEVERED
from edgetest.study.words import listed

ONE_BY_ONE = "one after the other"
MOST_NAMED = 3  # boards told by name


def turn_taking(log):
    """How the blades took turns: "single", "in_turn", "not_in_turn".

    In turn means that on no board a blade got two pieces ahead; what is left out was a turn.
    """
    rows = _turns(log)
    if len({row.blade for row in rows}) < 2:
        return "single"
    return "not_in_turn" if boards_out_of_turn(log) else "in_turn"


def boards_out_of_turn(log):
    """The boards on which a tool got two pieces ahead, as {board: (tool, pieces ahead)}."""
    rows = _turns(log)
    names = dict.fromkeys(row.blade for row in rows)
    done: dict[str, dict[str, int]] = {}
    found: dict[str, tuple[str, int]] = {}
    for row in rows if len(names) > 1 else ():
        board = row.board_or_block
        here = done.setdefault(board, dict.fromkeys(names, 0))
        here[row.blade] += 1
        ahead = here[row.blade] - min(here.values())
        if ahead > max(1, found.get(board, ("", 0))[1]):
            found[board] = (row.blade, ahead)
    return found


def turns_words(log):
    """Where the tools did not take turns; "" where they did.

    Parameters
    ----------
    log : ChopLog

    Returns
    -------
    str
        "one after the other", or "not in turn on stud 2 (H1 got 2 pieces ahead)" with how many
        other boards went in turn.
    """
    on = _where(log)
    if on is None:
        return ""
    rest = len(_by_board(log)) - len(boards_out_of_turn(log))
    others = f"; in turn on the other {f'{rest} boards' if rest > 1 else 'board'}" if rest else ""
    return f"not in turn on {on}{others}" if on else ONE_BY_ONE


def _where(log):
    """The boards out of turn, with who got ahead; "" where all tools chopped one after the other.

    None where they took turns.
    """
    out, boards = boards_out_of_turn(log), _by_board(log)
    if not out:
        return None
    if len(out) == len(boards) and all(map(_one_by_one, boards.values())):
        return ""
    told = [f"{_board(board)} ({tool} got {ahead} pieces ahead)"
            for board, (tool, ahead) in list(out.items())[:MOST_NAMED]]  # fmt: skip
    more = len(out) - len(told)
    return listed([*told, *([f"{more} more"] if more else [])])


def but_words(log, *tools):
    """The boards on which these tools did not take turns; "" where they did on all, or on none."""
    kept = [row for row in _turns(log) if row.blade in tools]
    out = boards_out_of_turn(_Rows(kept))
    if not out or len(out) == len({row.board_or_block for row in kept}):
        return ""
    names = [_board(board) for board in out]
    if len(names) > MOST_NAMED:
        return f" in turn but on {len(names)} boards"
    return f" in turn but on {listed(names)}"


def doubts_of_turns(log):
    """That tools did not take turns, and on which boards."""
    on = _where(log)
    if on is not None:
        yield doubt("not_in_turn", boards=f" on {on}" if on else "")


class _Rows:
    """Rows of some tools alone, as a log."""

    def __init__(self, rows):
        self.rows = rows


def _turns(log):
    """The pieces that were chopped, in their order."""
    return [row for row in log.rows if row.kind in SEVERED and not row.waiting]


def _by_board(log):
    boards = defaultdict(list)
    for row in _turns(log):
        boards[row.board_or_block].append(row)
    return boards


def _one_by_one(rows):
    """Whether each tool had all its pieces of a board before the next began."""
    runs = [blade for blade, _ in groupby(row.blade for row in rows)]
    return len(runs) == len(set(runs))


def _board(name):
    return name or "pieces of no noted board"
