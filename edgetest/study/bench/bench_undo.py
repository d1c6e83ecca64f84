"""What was done last at the bench, in words, and how is it taken back?"""

from dataclasses import dataclass
from datetime import UTC, datetime

from edgetest.store.history import Change
from edgetest.store.journal import last_change, undo_last
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.change_words import change_words
from edgetest.study.bench.session_file import Tap, leave_out, read_session, undo_tap


@dataclass(frozen=True)
class LastDone:
    """The last thing done that can be taken back: a tap, a change of the log, a stage let go.

    One of `tap`, `change` and `stage` says which it was; `words` name it for a person.
    """

    words: str
    run: tuple[str, str] = ("", "")
    tap: Tap | None = None
    change: Change | None = None
    stage: int | None = None


def last_done(source, action, *, table="log"):
    """What one undo would take back: the latest of the blade's taps and the study's changes.

    Parameters
    ----------
    source : Source
    action : Action or ChopAction
        What is due; its own last tap counts, other blades' taps do not.
    table : {"log", "chops"}

    Returns
    -------
    LastDone or None
        None where there is nothing to take back.
    """
    names = shown_names(source)
    found = []
    if action.last_tap is not None:
        tap, word = action.last_tap, "cut" if table == "log" else "stroke"
        words = f"+{tap.cuts} {word}{'s' * (tap.cuts != 1)}"
        words += ", missed the kerf" * bool(tap.missed)
        found.append((_moment(tap.when), LastDone(words, action.run, tap=tap)))
    change = last_change(source.path, table=table)
    if change is not None:
        words = change_words(change, names, source.protocol)
        found.append((_moment(change.when), LastDone(words, change=change)))
    for (run, stage), when in read_session(source.path).left_out.items():
        at = f"{stage} cuts" if table == "log" else run[0]
        words = f"{names.get(run[1], run[1])}, {at}: let go"
        found.append((_moment(when), LastDone(words, run, stage=stage)))
    return max(found, key=lambda each: each[0])[1] if found else None


def take_back(folder, done, *, table="log"):
    """Take back what a person saw named.

    Raises
    ------
    UnusableInput
        If another device has done something since that stands on it.
    """
    if done.tap is not None:
        undo_tap(folder, done.run, shown=done.tap)
    elif done.change is not None:
        undo_last(folder, shown=done.change, table=table)
    else:
        leave_out(folder, done.run, done.stage, left_out=False)


def _moment(when):
    """A time as it stands on disk; what has none came first."""
    try:
        return datetime.fromisoformat(when)
    except ValueError:
        return datetime.min.replace(tzinfo=UTC)
