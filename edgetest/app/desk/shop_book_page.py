"""Page: what all studies of the shop say together; found by a word, read when asked for."""

from math import isfinite

import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.kept_fields import kept_choice
from edgetest.app.links import go_to
from edgetest.app.long_work import show_running, start_work, take, work_of
from edgetest.app.next_link import step_of
from edgetest.app.open_study import choose, faults_shown, show_fault, source_of, workspace
from edgetest.app.remember import answered
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.doubts import sentences
from edgetest.errors import UnusableInput
from edgetest.estimate import format_estimate
from edgetest.store.shop_index import changed_studies, facts_found, index_version
from edgetest.study.shop.shop_memory import book_of

WORDS = "find studies"
MOST_HITS = 20  # studies on the page


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
    words = kept_choice(
        root, st.text_input, "Find studies by steel, heat treatment, blade, maker, month …", "",
        WORDS, autocomplete="off",
    )  # fmt: skip
    invented = kept_choice(root, st.toggle, "Samples too (invented data)", False, "with samples")
    if words:
        _hits(root, words)
    unread = changed_studies(root)  # looks at every folder: what was found stands above it
    if unread:
        _offer(root, len(unread))
    book = answered(
        "shop book", root, index_version(root), (words, invented),
        lambda report: book_of(root, words.split(), invented=invented, read=False)[0],
        "Pooling the studies", on_disk=False,
    )  # fmt: skip
    if book is not None:
        _book(book, unread)


def _book(book, unread):
    """What the studies say, and which were left out."""
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


def _hits(root, words):
    """The studies that hold the words, each a button that opens it."""
    count, hits = facts_found(root, words.split(), MOST_HITS)
    if not count:
        st.markdown("No study that this book has read holds these words.")
        return
    more = f" The first {MOST_HITS}, by folder; a further word finds fewer." * (count > MOST_HITS)
    st.markdown(f"**{verbatim(count)} found.**{more}")
    for each in hits:
        name, facts = each["name"], (each["date"], each["maker"], each["protocol"])
        label = " · ".join([each["title"] or name, *filter(None, facts)])
        if st.button(
            verbatim(label), key=f"shop_book.open.{name}", icon=":material/folder_open:",
            width="stretch",
        ):  # fmt: skip
            choose(name)
            with faults_shown():
                go_to(step_of(source_of(root / name))[1].page)


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
    _weights(pool)
    st.markdown("  \n".join(map(verbatim, pool.facts())))
    if pool.next_studies:
        st.markdown("**Worth the next rope**, three blades each:")
        st.markdown(verbatim_list(each.summary() for each in pool.next_studies))


def _weights(pool):
    """How much each study weighs in each ratio."""
    rows = [
        {"ratio": f"{each.arm} against {each.against}", "studies, by their weight": weights}
        for each in (*pool.arms, *pool.pairs)
        if (weights := each.weights())
    ]
    if rows:
        with st.expander("How much each study weighs"):
            show_rows(rows, "How much each study weighs")


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
