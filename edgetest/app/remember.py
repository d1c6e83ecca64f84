"""What was worked out before: in this server's memory, or on disk from an earlier start?"""

import streamlit as st

from edgetest.app.long_work import awaited, work_of
from edgetest.store.kept_answers import has_kept, keep_answer, kept_answer, study_print

MOST = 12  # answers of one kind in memory


@st.cache_resource(show_spinner=False)
def _shelf(name):
    return {}


def remembered(name, key, make, *, most=8):
    """What `make` returns, made once for a key; the oldest give way to the newest.

    Streamlit's own caches play back what a function drew, and a progress bar that was drawn
    outside it is no longer there then.
    """
    shelf = _shelf(name)
    found = shelf.get(key)
    if found is None:
        found = _put(shelf, key, make(), most)
    return found


def _put(shelf, key, found, most):
    while len(shelf) >= most:
        shelf.pop(next(iter(shelf)), None)
    shelf[key] = found
    return found


def answered(name, folder, version, asked, make, says, *, counts="done", on_disk=True):
    """An answer about a study: from memory, else from disk, else worked out beside the page.

    Parameters
    ----------
    name : str
        What kind of answer it is.
    folder : Path
        The study.
    version : object
        What changes when the study's files change, such as `open_study.stamp`.
    asked : object
        Everything else that decides the answer; its `repr` is taken.
    make : callable
        Takes `report(done, total)` and returns the answer; it must not touch the page.
    says : str
        What is going on meanwhile.
    counts : str
        The word behind the count.
    on_disk : bool
        Whether it is kept for a later start of the server too.

    Returns
    -------
    object or None
        None where it is being worked out, which the page then shows.

    Raises
    ------
    UnusableInput
        What `make` raises.
    """
    shelf = _shelf(name)
    key = (str(folder), version, repr(asked))
    found = shelf.get(key)
    if found is not None:
        return found
    work = kept_or_made(name, folder, key[2], make) if on_disk else make
    there, found = awaited((name, *key), work, says, counts=counts)
    return _put(shelf, key, found, MOST) if there else None


def at_hand(name, folder, version, asked):
    """Whether an answer is in memory or on disk, or being worked out: nothing needs to be asked.

    The arguments are those of `answered`.
    """
    key = (str(folder), version, repr(asked))
    if key in _shelf(name) or work_of((name, *key)) is not None:
        return True
    print_ = study_print(folder)
    return print_ is not None and has_kept(name, (print_, key[2]))


def kept_or_made(name, folder, asked, make):
    """Work that looks on disk first, and keeps there what it had to make.

    Returns
    -------
    callable
        Takes `report(done, total)`, returns the answer; `make` takes the same.
    """

    def work(report):
        print_ = study_print(folder)
        found = None if print_ is None else kept_answer(name, (print_, asked))
        if found is None:
            found = make(report)
            if print_ is not None and print_ == study_print(folder):  # no one wrote meanwhile
                keep_answer(name, (print_, asked), found)
        return found

    return work
