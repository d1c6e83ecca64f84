"""Which looks at the edge, and which tests at the end, were not made, and who chopped on after?"""

from collections import defaultdict
from itertools import pairwise

from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.added_pieces import pieces_of, severs
from edgetest.study.chop.chop_limit import limit_words, rows_after_mending, rows_past_limit
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.wear.departed_facts import ProtocolDeparture
from edgetest.study.words import counted, listed

DAMAGE = ("chips_count", "largest_chip_mm")  # readings of a look along the edge
CLOSING = {  # what is asked, and what is not known without it
    "inspection": ("a look at the edge at the end", "What the last strokes did to the edge"),
    "shave": ("shaving with the part that chopped", "Whether the edge still shaves"),
}


def departed_alike(of, asked, found, means):
    """Departures from what each tool did: those that did alike stand together."""
    alike = defaultdict(list)
    for tool, done in found:
        alike[done].append(tool)
    for done, those in alike.items():
        yield ProtocolDeparture(of, asked, f"{done}: {listed(those)}", means)


def asks_looks(protocol):
    """Whether a protocol asks for a look at the edge after each piece: it reads damage there."""
    damage = any(rule.name in DAMAGE for rule in protocol.readings)
    each = all(after - before == 1 for before, after in pairwise((0, *protocol.stages)))
    return severs(protocol) and damage and each


def looks_departed(protocol, tools):
    """Pieces of any kind after which nobody looked along the edge before the next one."""
    found = []
    for tool, rows in tools.items() if asks_looks(protocol) else ():
        unseen = _unseen(rows)
        words = f"not after {sum(unseen)} of {counted(len(unseen), 'piece')}"
        found += [(tool, words)] if any(unseen) else []
    means = "When a chip or a roll came is known less well."
    yield from departed_alike("looks at the edge", "a look after each piece", found, means)


def _unseen(rows):
    """Of each piece of one tool, whether no look followed; a look is of the last one before it."""
    unseen = []
    for row in rows:
        if row.kind in SEVERED:
            unseen.append(not looked(row))
        elif unseen and looked(row):
            unseen[-1] = False
    return unseen


def past_limit(study, protocol, tools):
    """Tools that chopped on after a look had found the protocol's limit reached."""
    rule = protocol.limit
    if rule is None or rule.reading not in DAMAGE:
        return
    limit = float(study.limit_value or rule.value)
    what = "piece" if severs(protocol) else "chop"
    past = {t: rows_past_limit(rows, rule.reading, limit) for t, rows in tools.items()}
    later = {t: len(pieces_of(protocol, rows)) for t, rows in past.items()}
    found = [(t, f"{counted(n, what)} chopped after it was reached") for t, n in later.items() if n]
    asked = f"an end at {limit_words(rule.reading, limit)}"
    if limit != rule.value:
        asked = f"an end at a limit, here the study's own of {limit_words(rule.reading, limit)}"
    means = "Later strokes are those of an edge that had failed by it."
    yield from departed_alike("limit", asked, found, means)
    mended = {t: rows_after_mending(rows, rule.reading, limit) for t, rows in tools.items()}
    again = {t: len(pieces_of(protocol, rows)) for t, rows in mended.items()}
    found = [(t, f"touched up after it was reached, then {counted(n, what)} more")
             for t, n in again.items() if n]  # fmt: skip
    means = "Later strokes are those of an edge that was mended."
    yield from departed_alike("limit", asked, found, means)


def photographed(row):
    """Whether the row is a look at the edge by photograph alone, with no count beside it."""
    return row.kind == "inspection" and bool(row.photo)


def looked(row):
    """Whether a row tells of a look along the edge, by eye or by photograph."""
    return row.chips_count is not None or row.rolls_count is not None or bool(row.photo)


def closing_departed(protocol, tools):
    """Tests at the end that were not made."""
    for kind in protocol.closing:
        words, unknown = CLOSING.get(kind, (kind, f"What a test by {kind} would show"))
        left = {tool: rows for tool, rows in tools.items() if not _closed(rows, kind)}
        early = [(tool, told) for tool, rows in left.items() if (told := _early(rows, kind))]
        never = [(tool, "not done") for tool in left if tool not in dict(early)]
        yield from departed_alike("closing tests", words, never, f"{unknown} is not known.")
        means = "What the strokes after it did is not known."
        yield from departed_alike("closing tests", words, early, means)


def _early(rows, kind):
    """That a test at the end was made before the last strokes; "" where it never was."""
    made = strokes(rows)
    mine = [row for row in rows if (looked(row) if kind == "inspection" else row.kind == kind)]
    if not mine or not (so_far := made[mine[-1].line][1]):
        return ""
    return f"done after {so_far} of {made[rows[-1].line][1]} strokes"


def _closed(rows, kind):
    """Whether a test was made after the last piece or chop."""
    chopped = [n for n, row in enumerate(rows) if row.kind in (*SEVERED, "single")]
    last = max(chopped, default=-1)
    after = rows[last:] if kind == "inspection" and last >= 0 else rows[last + 1 :]
    if kind == "inspection":
        return any(looked(row) for row in after)
    return any(row.kind == kind for row in after)
