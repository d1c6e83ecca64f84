"""What is tapped at the bench, a line each on disk: cuts counted, runs ended, stages left out."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_line, locked, read_json_lines

SESSION_FILE = "bench.jsonl"


@dataclass(frozen=True)
class Tap:
    """Cuts that one tap added to a run, and the count that it met.

    `missed` of them missed the kerf; `when` is the time of the tap.
    """

    cuts: int
    met: int
    missed: int = 0
    when: str = ""


@dataclass(frozen=True)
class Session:
    """The state that the taps of a session add up to; a run is (block, blade).

    `taps` are those that stand, oldest first, `known` the names of all there were, so that one
    sent twice counts once; `left_out` are (run, stage) whose missing readings are not asked
    for any more, with the time at which they were let go; `facts` are cells, by column, of a
    row that is still under way; `rolls` are the counts from which on a run goes on with another
    roll, each with the roll's name and whether the edge is read there.
    """

    taps: dict[tuple[str, str], tuple[Tap, ...]] = field(default_factory=dict)
    known: frozenset = frozenset()
    ended: frozenset = frozenset()
    left_out: dict[tuple[tuple[str, str], int], str] = field(default_factory=dict)
    facts: dict[tuple[str, str], dict[str, str]] = field(default_factory=dict)
    rolls: dict[tuple[str, str], dict[int, tuple[str, bool]]] = field(default_factory=dict)

    def roll(self, run, cuts):
        """The roll on which a run was cut up to a count, where it was changed; else ""."""
        changed = self.rolls.get(run, {})
        before = [at for at in changed if at < cuts]
        return changed[max(before)][0] if before else ""

    def read_at(self, run):
        """The counts at which a run is read because its roll ran out there."""
        return {at for at, (_, is_read) in self.rolls.get(run, {}).items() if is_read}

    def cuts(self, run):
        """Cuts counted by taps."""
        taps = self.taps.get(run)
        return taps[-1].met + taps[-1].cuts if taps else 0

    def let_go(self, row):
        """Whether a row of stages waits for nothing: its run was ended, or its stage let go."""
        run = (row.block, row.blade)
        return run in self.ended or (run, row.cuts) in self.left_out

    def missed(self, run):
        """Strokes of those counted that missed the kerf."""
        return sum(tap.missed for tap in self.taps.get(run, ()))

    def last_tap(self, run):
        """The tap that an undo would take back, or None."""
        taps = self.taps.get(run)
        return taps[-1] if taps else None


def read_session(folder):
    """The session of a study, from its file; a line cut short by a crash is skipped.

    Returns
    -------
    Session
    """
    taps: dict[tuple[str, str], list[Tap]] = {}
    known: set[str] = set()
    ended: set[tuple[str, str]] = set()
    left_out: dict[tuple[tuple[str, str], int], str] = {}
    facts: dict[tuple[str, str], dict[str, str]] = {}
    rolls: dict[tuple[str, str], dict[int, tuple[str, bool]]] = {}
    for _, entry in read_json_lines(Path(folder) / SESSION_FILE):
        try:
            run = (entry["block"], entry["blade"])
            what = entry["what"]
            known.add(entry.get("tap", ""))
            if what == "cuts":
                taps.setdefault(run, []).append(_tap(entry))
            elif what == "undo" and taps.get(run):
                taps[run].pop()
            elif what == "ended":
                (ended.add if entry["is"] else ended.discard)(run)
            elif what == "fact":
                facts.setdefault(run, {})[entry["column"]] = entry["says"]
            elif what == "roll":
                at, name, read = int(entry["from"]), entry["says"].strip(), bool(entry["read"])
                rolls.setdefault(run, {}).pop(at, None)
                if name:
                    rolls[run][at] = name, read
            elif what == "left_out":
                left_out.pop((run, entry["stage"]), None)
                if entry["is"]:
                    left_out[run, entry["stage"]] = entry.get("when", "")
        except (ValueError, KeyError, TypeError, AttributeError, OverflowError):
            continue  # the write was cut short, so it was never acknowledged
    return Session(
        {run: tuple(some) for run, some in taps.items()},
        frozenset(known - {""}),
        frozenset(ended),
        left_out,
        facts,
        rolls,
    )


def _tap(entry):
    return Tap(entry["cuts"], entry["met"], entry.get("missed", 0), entry.get("when", ""))


def count_taps(folder, run, taps, *, stage, read_to=0, when=None):
    """Add taps to a run's count, in their order, up to its next stage; on disk on return.

    Parameters
    ----------
    folder : str or Path
        The study.
    run : (str, str)
        Block and blade.
    taps : sequence of (str, int) or (str, int, int)
        Name and cuts of each tap, and how many of them missed the kerf; one that is on disk
        already counts once.
    stage : int
        Next stage: a tap that another device has overtaken does not count into the one after.
    read_to : int
        Cuts that the log already has of this run; the count never falls behind them.

    Returns
    -------
    int
        Cuts that were added.
    """
    added = 0
    with locked(folder):
        session = read_session(folder)
        met, known = max(session.cuts(run), read_to), set(session.known)
        for name, cuts, *missed in taps:
            if name in known:
                continue
            known |= {name} - {""}
            counted = max(min(int(cuts), stage - met), 0)
            words = {"tap": name} if name else {}
            if any(missed):
                words["missed"] = min(int(missed[0]), counted)
            if counted:
                _note(folder, run, when, what="cuts", cuts=counted, met=met, **words)
            elif name:  # the stage was reached before it: kept, so that it counts nowhere
                _note(folder, run, when, what="late", tap=name)
            met, added = met + counted, added + counted
    return added


def undo_tap(folder, run, *, shown, when=None):
    """Take back the last tap of a run.

    Parameters
    ----------
    shown : Tap
        The tap that was on the screen when the undo was pressed.

    Raises
    ------
    UnusableInput
        If another device has counted since; both counts are named.
    """
    with locked(folder):
        last = read_session(folder).last_tap(run)
        if last is None or last != shown:
            now, then = (tap.met + tap.cuts if tap else 0 for tap in (last, shown))
            raise UnusableInput(
                f"the count is {now} now; it was {then} when the undo was pressed",
                where=f"blade {run[1]}",
                mend="look at the count and press again if it is still wrong",
            )
        _note(folder, run, when, what="undo", cuts=last.cuts, met=last.met)


def end_run(folder, run, *, ended=True, when=None):
    """End a run before its last stage, as a blade past its limit; or take it up again."""
    with locked(folder):
        _note(folder, run, when, **{"what": "ended", "is": bool(ended)})


def leave_out(folder, run, stage, *, left_out=True, when=None):
    """Ask no more for what is missing at a stage; or ask for it again."""
    with locked(folder):
        _note(folder, run, when, **{"what": "left_out", "stage": stage, "is": bool(left_out)})


def change_roll(folder, run, name, cuts, *, read=False, when=None):
    """Go on with another roll from a count on, and read the edge there; "" takes it back."""
    with locked(folder):
        entry = {"what": "roll", "from": cuts, "says": name.strip(), "read": read}
        _note(folder, run, when, **entry)


def note_fact(folder, run, column, says, *, when=None):
    """Keep what a cell of a row under way is to say, until the row is written down."""
    with locked(folder):
        _note(folder, run, when, what="fact", column=column, says=str(says).strip())


def _note(folder, run, when, **words):
    block, blade = run
    moment = (when or datetime.now(UTC)).isoformat(timespec="milliseconds")
    entry = {"block": block, "blade": blade, **words, "when": moment}
    append_json_line(Path(folder) / SESSION_FILE, entry)
