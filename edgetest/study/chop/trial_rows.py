"""From the rows of a chop log to its trials: what was tried of each tool, and how it ended."""

from edgetest.chop.chop_report import Trial
from edgetest.study.chop.chop_rows import strokes, strokes_of_edge
from edgetest.study.words import counted

# A pass or fail written beside a piece of work, as a customer reads it.
SOUND = {
    "billet": "edge sound after a billet",
    "lumber": "edge sound after a stud",
    "single": "edge sound after a chop",
    "inspection": "edge sound when looked over",
}
# A shave that was not made with the edge as the last stroke left it, by when it was made.
FIRST_SHAVE, EARLY_SHAVE = "shaving before the chopping", "shaving between the pieces"
STONED_SHAVE = "shaving after a touch-up"
BARE_SHAVE = "shaving, with no strokes in the log"


def trials(log):
    """Passes and fails by blade and kind, in the order in which they were first tried.

    A shave that strokes followed, or a touch-up came before, says nothing of the edge after the
    chopping: it stands apart.
    """
    groups: dict[tuple[str, str], list] = {}
    made, own = strokes(log.rows), strokes_of_edge(log.rows)
    last = {row.blade: made[row.line][1] for row in log.rows}
    notes = {}
    for row in log.rows:
        if row.result and not row.exclude:
            so_far, total = made[row.line][1], last[row.blade]
            kind, when = SOUND.get(row.kind, row.kind), ""
            if kind == "shave":
                kind, when = _shave(so_far, own[row.line][1], total)
            notes[row.line] = ", ".join(filter(None, (when, _note(row))))
            groups.setdefault((row.blade, kind), []).append(row)
    return tuple(
        Trial(
            kind,
            blade,
            sum(row.result == "pass" for row in rows),
            len(rows),
            "; ".join(dict.fromkeys(words for row in rows if (words := notes[row.line]))),
        )
        for (blade, kind), rows in groups.items()
    )


def _shave(so_far, of_edge, total):
    """Kind of a shave after so many strokes, of which its edge made some; when it was made."""
    if not so_far:
        return (FIRST_SHAVE if total else BARE_SHAVE), ""
    when = f"after {so_far} of {total} strokes" if so_far < total else ""
    if not of_edge:
        return STONED_SHAVE, when
    stoned = f"{counted(of_edge, 'stroke')} after a touch-up" if of_edge < so_far else ""
    return (EARLY_SHAVE if when else "shave"), ", ".join(filter(None, (when, stoned)))


def _note(row):
    """What was done, in words: bend, number, note."""
    bend = f"to {row.bend_deg:g}°" if row.bend_deg is not None else ""
    return ", ".join(part for part in (bend, row.note) if part)
