"""When was each of very many studies worked on last, without a look at all before the page comes?

With more than `MANY` studies a page takes what was seen at the look before; it looks at once only
at those it has never seen, at the `LATEST` worked on last and at those that a window has opened.
All are looked at again when the page has gone out, so that a log changed in place by another
program counts from the next run on.
"""

import os
from pathlib import Path
from threading import Lock, Timer

import streamlit as st

MANY = 500  # studies; fewer are all looked at, every time
LATEST = 50
AFTER_S = 2.0  # the page has gone out by then


def worked_on(folder):
    """When a study changed last, in nanoseconds; quick, for thousands of studies.

    The folder itself changes whenever the program writes a file of it; a log may be changed in
    place by another program, and taps are added to their file.
    """
    at = str(folder)
    latest = 0
    for path in (at, f"{at}/log.csv", f"{at}/bench.jsonl"):
        try:
            latest = max(latest, os.stat(path).st_mtime_ns)
        except OSError:
            continue
    return latest


@st.cache_resource(show_spinner=False)
def latest_changes():
    """Of all windows of this server."""
    return LatestChanges(worked_on)


class LatestChanges:
    """What was seen of the studies of a folder, and when to look again.

    Parameters
    ----------
    look : callable
        Takes a study's folder and tells when it changed last, in nanoseconds.
    later : callable
        Takes seconds and a function, and calls it after them, beside the page.
    """

    def __init__(self, look, later=None):
        self._look = look
        self._later = later or _beside
        self._seen: dict[Path, int] = {}
        self._watched: set[Path] = set()
        self._waiting = Lock()

    def watch(self, folder):
        """Look at a study every time: a window works on it."""
        self._watched.add(folder)

    def of(self, folders):
        """{folder: nanoseconds} of these studies."""
        folders = list(folders)
        if len(folders) <= MANY:
            return {folder: self._look(folder) for folder in folders}
        known = [folder for folder in folders if folder in self._seen]
        known.sort(key=self._seen.__getitem__, reverse=True)
        old = [folder for folder in known[LATEST:] if folder not in self._watched]
        now = set(folders).difference(old)
        self._seen.update((folder, self._look(folder)) for folder in now)
        if old and self._waiting.acquire(blocking=False):
            try:
                self._later(AFTER_S, lambda: self._look_again(old))
            except RuntimeError:  # no thread can start now; the next page tries again
                self._waiting.release()
        return {folder: self._seen[folder] for folder in folders}

    def _look_again(self, folders):
        self._waiting.release()
        for folder in folders:
            self._seen[folder] = self._look(folder)


def _beside(seconds, what):
    timer = Timer(seconds, what)
    timer.daemon = True
    timer.start()
