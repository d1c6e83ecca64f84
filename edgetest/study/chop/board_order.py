"""Which board comes when, and which tool takes its piece of it in which turn?

Each board gives a piece to every tool, or several, so that what a board does to all falls out of
their ratios; boards may be more than tools. A board that gives several pieces is named as often.
"""

from collections import Counter
from dataclasses import replace
from itertools import groupby

from edgetest.chop.species import said_as
from edgetest.store.chop_log import SEVERED
from edgetest.study.wear.plan_result import NOT_NAMED
from edgetest.study.words import counted, listed
from edgetest.wear.plan.planned_runs import CONTROL
from edgetest.wear.plan.run_order import balanced_order


def tools_alone(study):
    """Whether a study has no two heat treatments to compare, so that only its tools are."""
    named = {blade.heat_treatment for blade in study.blades if blade.id != study.control}
    return len(named - {None, ""}) < 2


def board_order(study, boards, rng):
    """The runs of every tool on every board, in counterbalanced order.

    Parameters
    ----------
    study : Study
    boards : sequence of str
        In the order in which they come; each once for every piece that a tool gets of it.
    rng : numpy.random.Generator

    Returns
    -------
    tuple of Run
    """
    times = Counter(boards)
    # A board's rounds are balanced as boards of their own, then go by its name again.
    rounds = {f"{name}\n{k}": name for name, n in times.items() for k in range(n)}
    drawn: dict[str, list[list]] = {}
    for block, runs in groupby(_balanced(study, list(rounds), rng), key=lambda run: run.block):
        drawn.setdefault(rounds[block], []).append(list(runs))
    if tools_alone(study):
        drawn = _begun_evenly(drawn)
    return tuple(
        replace(run, block=name, turn=turn)
        for name, own in drawn.items()
        for turn, run in enumerate((run for one in own for run in one), 1)
    )


def _begun_evenly(drawn):
    """The rounds of each board from another one on, where its tool began fewer boards so far.

    Rounds that alternate would begin each board of two of them with one tool, and end it so.
    """
    begun: Counter = Counter()
    found = {}
    for name, own in drawn.items():
        times = [begun[runs[0].blade] for runs in own]
        start = times.index(min(times))
        found[name] = [*own[start:], *own[:start]]
        begun[found[name][0][0].blade] += 1
    return found


def _balanced(study, boards, rng):
    """The runs of every tool on boards that each have a name of their own."""
    kinds = {blade.id: blade.heat_treatment or NOT_NAMED for blade in study.blades}
    if study.control:
        kinds[study.control] = CONTROL
    if not tools_alone(study):
        blades = {blade: kind for blade, kind in kinds.items() if kind != CONTROL}
        return balanced_order(blades, boards, rng, control=study.control, runs=len(boards))
    runs = balanced_order({blade: blade for blade in kinds}, boards, rng, runs=len(boards))
    return tuple(replace(run, treatment=kinds[run.blade]) for run in runs)


def usual_boards(rules, log=None, plan=None):
    """Names of the boards: those of a log under way, else one for each piece that is asked for.

    A board of the log is named once for every piece that a tool got of it.

    Parameters
    ----------
    rules : Protocol
    log : ChopLog, optional
    plan : dict, optional
        Of the study; the boards of its order follow those of a log under way.

    Returns
    -------
    tuple of str
    """
    begun = log is not None and pieces_begun(log)
    rows = log.rows if begun else ()
    pieces = (row for row in rows if row.kind in SEVERED and not row.exclude)
    seen = pieces_of_boards((row.board_or_block, row.blade) for row in pieces)
    word = "stud" if rules.chop_kinds == ("lumber",) else "board"
    asked = tuple(f"{word} {number}" for number in range(1, len(rules.stages) + 1))
    seen.pop("", None)
    drawn = pieces_of_boards((plan or {}).get("order", ()) if begun else ())
    return _each(drawn | seen) or asked


def boards_of(runs):
    """Names of the boards of runs, each once for every piece that a tool gets of it.

    Parameters
    ----------
    runs : iterable of Run

    Returns
    -------
    tuple of str
    """
    return _each(pieces_of_boards((run.block, run.blade) for run in runs))


def boards_of_layout(own):
    """As `boards_of`, of `PlannedRuns`; none where there is no layout."""
    if own is None:
        return ()
    return _each(pieces_of_boards(zip(own.block.tolist(), own.blade.tolist(), strict=True)))


def _each(times):
    return tuple(name for name, n in times.items() for _ in range(n))


def pieces_of_boards(turns):
    """How many pieces of each board one tool gets, from (board, blade) of every turn."""
    times: dict[str, int] = {}
    for (board, _), n in Counter(map(tuple, turns)).items():
        times[board] = max(n, times.get(board, 0))
    return times


def boards_missed(log):
    """Which tool had no piece of a board that gave one to another, in words; "" where none lacks.

    Parameters
    ----------
    log : ChopLog

    Returns
    -------
    str
    """
    done = [row for row in log.rows if row.kind in SEVERED and row.chops is not None]
    boards = dict.fromkeys(row.board_or_block for row in done)
    own: dict[str, set] = {}
    for row in done:
        own.setdefault(row.blade, set()).add(row.board_or_block)
    lacks = {tool: [name for name in boards if name and name not in held]
             for tool, held in own.items()}  # fmt: skip
    found = [f"{tool} on {listed(names)}" for tool, names in lacks.items() if names]
    return listed(found) if found else ""


def first_told(log):
    """Which tool took the first piece of each board, as `first_words`, and of which boards.

    Parameters
    ----------
    log : ChopLog

    Returns
    -------
    str
        "first on each board: H1"; "first on each shared board: …" where some gave a counting
        piece to one tool alone. "" for a tool alone.
    """
    told = first_words(log)
    rows = [row for row in log.rows if row.kind in SEVERED and not (row.waiting or row.exclude)]
    boards = {row.board_or_block for row in rows}
    which = "each board" if boards <= _shared_boards(rows) else "each shared board"
    return f"first on {which}: {told}" if told else ""


def first_words(log):
    """Which tool took the first piece of each board that two share, by wood where that differs.

    A board counts where two tools have a piece of it that counts; a piece left out was a turn.
    Pieces of which nobody noted the board tell of none.

    Parameters
    ----------
    log : ChopLog

    Returns
    -------
    str
        "H1 on 2 of 3 boards, C1 on 1"; "of hazel C1; of English oak H1". "" for a tool alone.
    """
    done = [row for row in log.rows if row.kind in SEVERED and not row.waiting]
    shared = _shared_boards([row for row in done if not row.exclude])
    woods = _firsts([row for row in done if row.board_or_block in shared])
    shares = [{blade: n / own.total() for blade, n in own.items()} for own in woods.values()]
    if not woods:
        return ""
    if all(share == shares[0] for share in shares):
        return _shared(sum(woods.values(), Counter()))
    return "; ".join(f"of {wood} {_shared(own)}" for wood, own in woods.items())


def _shared_boards(rows):
    """Boards, by their names, of which two tools have a piece."""
    tools: dict[str, set] = {}
    for row in (each for each in rows if each.board_or_block):
        tools.setdefault(row.board_or_block, set()).add(row.blade)
    return {board for board, own in tools.items() if len(own) > 1}


def _firsts(rows):
    """By wood, on how many boards each tool took the first piece; nothing of a tool alone."""
    woods: dict[str, Counter] = {}
    begun: set[str] = set()
    for row in rows if len({row.blade for row in rows}) > 1 else ():
        board = row.board_or_block
        if board not in begun:
            woods.setdefault(said_as(row.species) or "wood not noted", Counter())[row.blade] += 1
        begun.add(board)
    return woods


def _shared(firsts):
    """Tools by how many boards each was first on; the one tool that was first on all."""
    (most, times), *others = firsts.most_common()
    if not others:
        return most
    told = [f"{most} on {times} of {counted(firsts.total(), 'board')}"]
    return listed([*told, *(f"{blade} on {n}" for blade, n in others)])


def pieces_begun(log):
    """Whether strokes of a piece stand in the log."""
    return any(row.chops is not None for row in log.rows)
