"""Which turns of a chop test under way are chopped, and which are still to come?"""

from collections import Counter

from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.board_order import pieces_begun
from edgetest.study.words import counted, listed
from edgetest.wear.plan.planned_runs import CONTROL
from edgetest.wear.plan.run_order import Run


def order_under_way(study, log, drawn, *, anew=False):
    """The turns of a chop test whose pieces were begun: what was chopped stands as it was.

    Parameters
    ----------
    study : Study
    log : ChopLog
        With strokes of a piece in it.
    drawn : sequence of Run
        As they would be drawn for a test that is not begun: those that are open are added.
    anew : bool
        The order that the study has holds no longer.

    Returns
    -------
    (tuple of Run, tuple of Run, bool)
        The whole order, as the study has it, else as the log's rows stand, then what is open; of
        that the turns that are left; and whether any of them were drawn.
    """
    treatments = {run.blade: run.treatment for run in drawn}
    chopped, waiting = _turns(log)
    plan = () if anew else (study.plan or {}).get("order", ())
    planned = [(board, blade) for board, blade in plan if blade in treatments]
    order = list(planned or [turn for turn in chopped if turn[0]])
    order += _beyond(waiting, Counter(order))
    known, named = len(order), [(run.block, run.blade) for run in drawn]
    order += _beyond(named, Counter(order) | Counter(chopped))
    open_ = _open(order, planned, chopped, waiting)
    turns: Counter = Counter()
    runs = []
    for board, blade in order:
        turns[board] += 1
        runs.append(Run(board, turns[board], blade, treatments.get(blade, CONTROL)))
    left = tuple(run for run, here in zip(runs, open_, strict=True) if here)
    return tuple(runs), left, len(order) > known


def _turns(log):
    """Board and tool of the pieces that were chopped, and of those that have a row and wait.

    A row that is left out is no piece: another of its board is to be chopped.
    """
    rows = [row for row in log.rows if row.kind in SEVERED and not row.exclude]
    chopped = [(row.board_or_block, row.blade) for row in rows if row.chops is not None]
    waiting = [(row.board_or_block, row.blade) for row in rows
               if row.chops is None and row.board_or_block]  # fmt: skip
    return chopped, waiting


def _beyond(turns, known):
    """Turns that come more often than they are known."""
    known = Counter(known)
    for turn in turns:
        if known[turn]:
            known[turn] -= 1
        else:
            yield turn


def _open(order, planned, chopped, waiting):
    """Of each turn whether it is left.

    A planned board whose piece was chopped under another name has no row that waits, and its
    tool has its pieces. A piece of a board that nobody noted stands for one that would be drawn.
    """
    done, waits = Counter(chopped), Counter(waiting)
    bare = Counter(blade for board, blade in chopped if not board and not planned)
    lacks = Counter(blade for _, blade in planned)
    lacks.subtract(blade for _, blade in (*chopped, *waiting))
    for place, turn in enumerate(order):
        if done[turn]:
            done[turn] -= 1
            yield False
        elif waits[turn]:
            waits[turn] -= 1
            yield True
        elif place < len(planned):
            lacks[turn[1]] -= 1
            yield lacks[turn[1]] >= 0
        else:
            bare[turn[1]] -= 1
            yield bare[turn[1]] < 0


def progress_words(log, left, pieces):
    """How far a chop test is, and what is left of its order; "" where nothing was chopped.

    Parameters
    ----------
    log : ChopLog
    left : sequence of Run or None
        As `order_under_way` has it; None where the test is not begun.
    pieces : int or None
        With each tool, that show the ratio that is asked for; None where that is not known.
    """
    if left is None or not pieces_begun(log):
        return ""
    done = Counter(blade for _, blade in _turns(log)[0])
    told = "No piece that counts is chopped so far. "
    if done:
        each = listed([f"{n} with {blade}" for blade, n in done.items()])
        told = f"Chopped so far: {counted(done.total(), 'piece')}, {each}. "
    told += _more_words(log, left, pieces) if pieces else ""
    if not left:
        return f"{told}Nothing of this order is left: name further boards (--blocks) to plan more."
    boards: dict[str, list[str]] = {}
    for run in left:
        boards.setdefault(run.block, []).append(run.blade)
    here = "; ".join(f"{board} with {listed(by)}" for board, by in boards.items())
    return f"{told}Left: {here}.{_rowless(log, left)}"


def _more_words(log, left, pieces):
    """How many pieces more show the difference, by tool where one has fewer; "" for none."""
    done = Counter(blade for _, blade in _turns(log)[0])
    tools = dict.fromkeys([row.blade for row in log.rows if row.kind in SEVERED])
    tools |= dict.fromkeys(run.blade for run in left)
    more = {tool: max(pieces - done[tool], 0) for tool in tools}
    if not any(more.values()):
        return ""
    if len(set(more.values())) == 1:
        return f"To show that difference takes {max(more.values())} more with each tool. "
    each = listed(f"{n} more with {tool}" for tool, n in more.items() if n)
    return f"To show that difference takes {each}. "


def _rowless(log, left):
    """That turns which are left have no row in the log yet; "" where each has one."""
    have = Counter(_turns(log)[1])
    more = (Counter((run.block, run.blade) for run in left) - have).total()
    if not more:
        return ""
    one = "1 of these has" if more == 1 else f"{more} of these have"
    which = "These have" if more == len(left) > 1 else one
    return f" {which} no row in the log yet: `edgetest enter` adds each as it is chopped."


def numbered_on(records, log):
    """Rows of pieces to come, numbered on from those of a log; without the look before them.

    Parameters
    ----------
    records : list of list of str
        Heading and rows, as a plan has them.
    log : ChopLog

    Returns
    -------
    list of list of str
    """
    heading, *rows = records
    kind, order = heading.index("kind"), heading.index("order")
    done = Counter(row.blade for row in log.rows if row.kind in SEVERED and row.chops is not None)
    found = [heading]
    for row in rows:
        if row[kind] in SEVERED:
            number = str(int(row[order]) + done[row[heading.index("blade")]])
            row = [*row[:order], number, *row[order + 1 :]]
        if (row[kind], row[order]) != ("inspection", "0"):
            found.append(row)
    return found
