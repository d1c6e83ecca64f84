"""What is the next step of a study, and on which page of the work is it done?"""

from dataclasses import dataclass

from edgetest.study.bench.bench_order import needs_order
from edgetest.study.bench.chop_actions import next_chop
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.scale_first import needs_scale
from edgetest.study.bench.session_file import SESSION_FILE
from edgetest.study.photos.sort_tray import read_tray
from edgetest.study.study_state import NEXT
from edgetest.study.words import counted

# Where each code of `NEXT` is done.
PAGES = {
    "mend": "log", "cut": "bench", "steel": "verdict", "measure": "photographs",
    "limit": "wear-curves", "treatments": "blades", "answer": "comparison",
}  # fmt: skip
THEIR = ("its place", "their places")


@dataclass(frozen=True)
class NextStep:
    """What is to be done next, in words, and the address of its page."""

    page: str
    words: str


def next_step(source, state):
    """The next step of a study: at the bench while a test is under way, else towards its answer.

    Parameters
    ----------
    source : Source
        A study that can be opened.
    state : StudyState
        Where it stands.

    Returns
    -------
    NextStep

    Raises
    ------
    UnusableInput
        Where the key to the blades' codes cannot be read.
    """
    code, study = state.next, source.study
    waiting = len(read_tray(source).waiting) if code != "mend" else 0
    if waiting:
        return NextStep("sorting", f"give {counted(waiting, 'picture')} {THEIR[waiting > 1]}")
    tested = bool(study.protocol and study.blades)
    due = _at_the_bench(source) if tested and code != "mend" else ""
    if due:
        return NextStep("bench", due)
    if code == "steel":
        return steel_step(study)
    page = "chopper" if code == "answer" and state.chops else PAGES[code]
    return NextStep(page, NEXT[code])


def steel_step(study):
    """The next step with the steel of a study that asks whether it is worth forging."""
    if not (study.evidence or {}).get("pieces"):
        return NextStep(PAGES["steel"], "say what the first piece of steel is")
    return NextStep(PAGES["steel"], NEXT["steel"])


def _at_the_bench(source):
    """The action that is due at the bench; "" where none is, or the work was not begun there."""
    if source.protocol.log == "chops":
        action = next_chop(source)
    elif needs_order(source):
        return "draw the order of its blades"
    elif needs_scale(source):
        return "take the scale of its photographs, or say that you type its widths"
    elif source.study.plan or (source.path / SESSION_FILE).is_file():
        action = next_action(source)
    else:
        return ""
    return "" if action.kind == "done" else action.summary()
