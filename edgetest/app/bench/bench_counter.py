"""Large buttons that count cuts; every tap is on disk before the page shows it as counted.

A gloved hand taps faster than a page answers, and a page that is busy melts taps of one
kind into one. So the buttons keep a list of all taps, each with a name of its own, and send
the whole list every time: what arrives twice counts once, and what the server did not
answer (it was killed, the network dropped) is sent again until it does.
"""

from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from edgetest.study.bench.session_file import count_taps, read_session

AWAKE = "bench_awake"


def awake():
    """A button that nobody sees: the counter presses it where its part of the page is not heard.

    It stands outside of that part, and has all of the page drawn anew.
    """
    with st.container(key=AWAKE):
        st.button("Save the taps once more", key="bench.awake")


@dataclass(frozen=True)
class Button:
    """A button: cuts that a tap adds (0: all that are left), how many of them missed, its words."""

    cuts: int
    words: str
    missed: int = 0


ONE, FIVE, TEN = (Button(cuts, f"+{cuts}") for cuts in (1, 5, 10))
REST = Button(0, "All")
MISSED = Button(1, "+1 missed the kerf", missed=1)


@dataclass(frozen=True)
class Counted:
    """What is counted of a run, up to where.

    Attributes
    ----------
    unit : (str, str)
        Its name, of one and of many.
    met, stage : int
        The count that stands, and the one that is gone for.
    read_to : int
        What the log has already; the count never falls behind it.
    missed : int or None
        How many of them missed; None where that is not counted.
    open_end : bool
        Where the stage is no aim, only the most that can be.
    buttons : tuple of Button
    """

    unit: tuple[str, str]
    met: int
    stage: int
    read_to: int = 0
    missed: int | None = None
    open_end: bool = False
    buttons: tuple[Button, ...] = (ONE, FIVE, TEN, REST)


@st.cache_resource(show_spinner=False)
def _component():
    html, css, js = (
        Path(__file__).with_suffix(f".{kind}").read_text(encoding="utf-8")
        for kind in ("html", "css", "js")
    )
    return st.components.v2.component("edgetest.counter", html=html, css=css, js=js)


def counter(folder, run, counted):
    """The count and the buttons that add to it.

    Parameters
    ----------
    folder : Path
        The study.
    run : (str, str)
        What the taps are kept under.
    counted : Counted
    """
    key = f"bench.count.{folder.name}.{run}.{counted.stage}"

    def count(taps):
        """Put taps on disk; those that are there already count once."""
        named = [(str(name), int(cuts), int(missed)) for name, cuts, missed in taps or ()]
        return count_taps(folder, run, named, stage=counted.stage, read_to=counted.read_to)

    before = st.session_state.get(key)
    sent = [str(tap[0]) for tap in (before.taps or ())] if before else []
    known = read_session(folder).known
    result = _component()(
        key=key,
        data={
            "unit": list(counted.unit),
            "met": counted.met,
            "stage": counted.stage,
            "of": 0 if counted.open_end else counted.stage,
            "missed": counted.missed,
            "steps": [vars(each) for each in counted.buttons],
            "label": f"Count {counted.unit[1]}",
            "awake": f".st-key-{AWAKE} button",
            "known": [name for name in sent if name in known],
        },
        default={"taps": []},
        on_taps_change=lambda: count(st.session_state.to_dict()[key].taps),
    )
    # Taps that came in while the server was down arrive with the page, not with a callback.
    if count(result.taps):
        st.rerun()
