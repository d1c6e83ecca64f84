"""What is being worked out, how far is it, and is its result there, whatever page is looked at?

Work that takes long runs beside the pages. It goes on while other pages are looked at and while the
browser is closed; a page that is opened again finds it where it is. It counts, it can be
stopped, and its result or its fault waits until a page takes it.
"""

import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from threading import Event, Lock, Thread
from typing import Any

import streamlit as st

from edgetest.app.verbatim import verbatim

PATIENCE_S = 0.4  # so long a page waits for a result before it shows how far it is
POLL_S = 0.4
MOST_ENDED = 16  # results that no page has taken

Make = Callable[[Callable[[int, int], None]], Any]


class StoppedError(Exception):
    """A person has stopped the work; raised in it, at its next count."""


@dataclass
class Work:
    """One piece of work: `says` is its sentence, `done` of `total` `counts` its count."""

    key: Hashable
    says: str
    counts: str = "done"
    stop_says: str = "Stop"
    done: int = 0
    total: int = 0
    result: Any = None
    fault: Exception | None = None
    ended: Event = field(default_factory=Event)
    stopping: Event = field(default_factory=Event)
    began: float = field(default_factory=time.monotonic)

    def report(self, done: int, total: int) -> None:
        """Count; raises `StoppedError` where a person has asked for it."""
        self.done, self.total = done, total
        if self.stopping.is_set():
            raise StoppedError

    def stop(self) -> None:
        """Ask the work to end at its next count."""
        self.stopping.set()

    @property
    def running(self) -> bool:
        """Whether it goes on."""
        return not self.ended.is_set()

    def rested(self) -> bool:
        """Whether it has ended, after a page's short patience."""
        if not self.stopping.is_set():
            self.ended.wait(PATIENCE_S)
        return not self.running

    @property
    def stopped(self) -> bool:
        """Whether it ended by a person's wish, without a result."""
        return isinstance(self.fault, StoppedError)

    def words(self) -> str:
        """What is going on, with its count."""
        if self.stopping.is_set():
            return f"{self.says}: stopping"
        count = f": {self.done} of {self.total} {self.counts}" if self.total else " …"
        return f"{self.says}{count}"


_works: dict[Hashable, Work] = {}
_lock = Lock()


def start_work(
    key: Hashable, make: Make, says: str, *, counts: str = "done", stop_says: str = "Stop"
) -> Work:
    """Begin a piece of work, unless it is going on already.

    Parameters
    ----------
    key : hashable
        What the work is about; the same key means the same work.
    make : callable
        Takes `report(done, total)`, which it calls now and then, and returns the result. It
        must not touch the page.
    says : str
        What is going on, as a sentence without its stop.
    counts, stop_says : str
        The word behind the count, and the button that stops.
    """
    with _lock:
        found = _works.get(key)
        if found is not None and found.running:
            return found
        work = _works[key] = Work(key, says, counts, stop_says)
        for old in [k for k, each in _works.items() if not each.running][:-MOST_ENDED]:
            del _works[old]
    Thread(target=_run, args=(work, make), daemon=True, name=says).start()
    return work


def _run(work: Work, make: Make) -> None:
    try:
        work.result = make(work.report)
    except Exception as fault:  # told by the page that asked
        work.fault = fault
    finally:
        work.ended.set()


def work_of(key: Hashable) -> Work | None:
    """The work under a key: running, or ended and not yet taken; None where there is none."""
    return _works.get(key)


def take(work: Work) -> Any:
    """The result of work that has ended, which is then forgotten here.

    Two runs of a page may overlap; what the first has taken the second gets too.

    Raises
    ------
    Exception
        What ended the work, told where it is asked for; `StoppedError` where a person did.
    """
    with _lock:
        if _works.get(work.key) is work:
            del _works[work.key]
    if work.fault is not None:
        raise work.fault
    return work.result


def awaited(key: Hashable, make: Make, says: str, *, counts: str = "done") -> tuple[bool, Any]:
    """A result that is there or comes at once; else the page shows how far it is.

    Returns
    -------
    (bool, object)
        Whether the result is there, and the result. Where it is not, the page has been given
        a line that counts, with a button that stops it; the page runs again at the end.

    Raises
    ------
    Exception
        What went wrong in the work.
    """
    work = work_of(key) or start_work(key, make, says, counts=counts)
    if not work.rested():
        show_running(work)
        return False, None
    if work.stopped:
        _offer_again(work, make)
        return False, None
    return True, take(work)


def show_running(work: Work) -> None:
    """How far a piece of work is, with a button that stops it; the page runs again at its end."""
    _progress(work)


@st.fragment(run_every=POLL_S)
def _progress(work: Work) -> None:
    if not work.running:
        st.rerun()
    with st.container(border=True, key=f"long_work_{_mark(work)}"):
        share = work.done / work.total if work.total else 0.0
        st.progress(min(share, 1.0), verbatim(work.words()))
        st.button(
            verbatim(work.stop_says), key=f"long_work.stop.{_mark(work)}", on_click=work.stop,
            icon=":material/stop_circle:", disabled=work.stopping.is_set(),
        )  # fmt: skip


def _offer_again(work: Work, make: Make) -> None:
    """What was stopped can be begun again."""
    with st.container(border=True):
        st.markdown(verbatim(f"{work.says}: stopped."))
        st.button(
            "Go on", key=f"long_work.again.{_mark(work)}", on_click=_again, args=(work, make),
            icon=":material/play_circle:",
        )  # fmt: skip


def _again(work: Work, make: Make) -> None:
    start_work(work.key, make, work.says, counts=work.counts, stop_says=work.stop_says)


def _mark(work: Work) -> str:
    """A short name of the work for the keys of its widgets."""
    return f"{hash(work.key) & 0xFFFFFFFF:08x}"
