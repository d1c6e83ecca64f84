"""Page: what all studies of the shop say together; found by a word, read when asked for."""

from math import isfinite

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.kept_fields import kept_choice
from edgetest.app.long_work import show_running, start_work, take, work_of
from edgetest.app.open_study import show_fault, workspace
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.doubts import sentences
from edgetest.errors import UnusableInput
from edgetest.estimate import format_estimate
from edgetest.store.shop_index import changed_studies
from edgetest.study.shop.shop_memory import book_of

WORDS = "find studies"


def show():
    """The page."""
    st.title("Shop book")
    st.markdown("What your studies say together of each steel and heat treatment, over the years.")
    root = workspace()
    work = work_of(("shop book", root))
    if work is not None and not work.rested():
        show_running(work)
        return
    if work is not None:
        try:
            take(work)
        except UnusableInput as fault:
            show_fault(fault)
    unread = changed_studies(root)
    if unread:
        _offer(root, len(unread))
    words = kept_choice(
        root, st.text_input, "Find studies by steel, heat treatment, blade, maker, month …", "",
        WORDS, autocomplete="off",
    )  # fmt: skip
    invented = kept_choice(root, st.toggle, "Samples too (invented data)", False, "with samples")
    book, found = book_of(root, words.split(), invented=invented, read=False)
    _found(found, words)
    for pool in book.pools:
        _pool(pool)
    if not book.pools and not unread:
        st.info(
            "No study here compares two heat treatments on blades of your own yet. From two "
            "studies up this page pools them; from three the intervals begin to close."
        )
    if book.left_out:
        with st.expander(f"Left out: {len(book.left_out)}"):
            rows = [{"study": name, "why": why} for name, why in book.left_out.items()]
            show_rows(rows, "Studies left out")


def _offer(root, count):
    """Studies that changed are read when a person says so."""
    one = "study" if count == 1 else "studies"
    st.markdown(f"{count} {one} changed since this book last read them, or were never read.")
    st.button(
        f"Read {count} {one}", key="shop_book.read", on_click=_begin, args=(root,),
        type="primary", icon=":material/menu_book:",
    )  # fmt: skip


def _begin(root):
    start_work(
        ("shop book", root), lambda report: book_of(root, progress=report),
        "Reading the studies", counts="studies",
    )  # fmt: skip


def _found(found, words):
    if words:
        rows = [{"study": each.title or each.name, "date": each.date, "protocol": each.protocol}
                for each in found]  # fmt: skip
        st.markdown(f"**{len(rows)} found**" if rows else "No study holds these words.")
        if rows:
            show_rows(pd.DataFrame(rows), "Studies found")


def _pool(pool):
    """One protocol and reading."""
    count = len(pool.studies)
    st.subheader(
        verbatim(f"{pool.protocol}, {count} {'study' if count == 1 else 'studies'}"), anchor=False
    )
    for line in sentences(pool.doubts):
        st.warning(verbatim(line))
    st.markdown(f"Life, times that of **{verbatim(pool.anchor)}**:")
    show_rows([_row(each) for each in pool.arms], f"Lives against {pool.anchor}")
    if pool.pairs:
        st.markdown("One against the other:")
        rows = [{"longer": each.arm, "against": each.against, **_numbers(each)}
                for each in pool.pairs]  # fmt: skip
        show_rows(rows, "One heat treatment against the other")
    st.markdown("  \n".join(map(verbatim, pool.facts())))
    if pool.next_studies:
        st.markdown("**Worth the next rope**, three blades each:")
        st.markdown(verbatim_list(each.summary() for each in pool.next_studies))


def _row(known):
    return {"steel and heat treatment": known.arm, **_numbers(known)}


def _numbers(known):
    """Ratio, the next study's, and the studies, as they stand in a table."""
    ratio, bounded = known.ratio, known.ratio.high < float("inf")
    ahead = ""
    if isfinite(known.next_high):
        ahead = format_estimate(ratio.value, known.next_low, known.next_high)
    return {
        "life, times": ratio.summary().removesuffix(" times") if bounded else f"{ratio.value:.2g}",
        "in a next study": ahead,
        "studies": len(known.studies),
    }
