"""Each tool's own dulling, and how many pieces would show one that is not seen yet."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.chop import tool_dulling as module
from edgetest.chop.count_design import Billets
from edgetest.chop.counts import fit_counts
from edgetest.chop.tool_dulling import MOST_PIECES, _work, dulling_by_tool

EVEN = [38, 32, 33, 29, 31, 34, 31, 32, 34]
WORN = [30, 39, 40, 44, 62, 54, 60, 65, 78]


def chopped(counts, **other):
    """Tools on pieces of one size, each with its own strokes before (invented counts)."""
    blades, strokes, before = [], [], []
    for name, own in counts.items():
        blades += [name] * len(own)
        strokes += list(own)
        before += [sum(own[:i]) for i in range(len(own))]
    return Billets(blades, strokes, [33.87] * len(strokes), chops_before=before, **other)


def test_each_tool_has_its_own_change_and_one_seen_asks_for_no_more_pieces():
    even, worn = dulling_by_tool(chopped({"H": EVEN, "C": WORN}))
    assert (even.blade, even.seen, worn.blade, worn.seen) == ("H", 0, "C", 1)
    assert worn.pct_per_100_chops.value == pytest.approx(21, abs=1)
    assert (worn.shows_pct, worn.aim_pct, worn.pieces_more, worn.wanted_words()) == (
        None, None, None, "",
    )  # fmt: skip
    assert even.pieces_more > 0
    assert even.aim_pct < even.shows_pct


def test_a_tool_alone_has_the_dulling_of_all_together():
    billets = chopped({"H": EVEN})
    (own,), every = dulling_by_tool(billets), fit_counts(billets).dulling_pct_per_100_chops
    assert (own.pct_per_100_chops.low, own.pct_per_100_chops.high) == pytest.approx(
        (every.low, every.high)
    )


CALM = [40, 48, 33, 36, 51, 38, 42, 31, 44, 47, 35, 38, 49, 39]


def drawn(rng, pieces, dulling, scatter):
    """A tool's strokes, piece by piece, `scatter` times chance about a mean that rises."""
    made, middle = [], pieces * np.mean(CALM) / 2
    for _ in range(pieces):
        gone = (sum(made) + np.mean(CALM) / 2 - middle) / 100
        mean = np.mean(CALM) * (1 + dulling) ** gone
        made.append(max(1, int(rng.poisson(rng.gamma(mean / (scatter - 1), scatter - 1)))))
    return made


def share_seen(pieces, dulling, *, tests=300):
    """Share of simulated tests of one tool whose interval lies above no dulling."""
    rng, scatter = np.random.default_rng(4), fit_counts(chopped({"H": CALM})).dispersion.used
    found = [fit_counts(chopped({"H": drawn(rng, pieces, dulling, scatter)})) for _ in range(tests)]
    return float(np.mean([one.dulling_pct_per_100_chops.low > 0 for one in found]))


def test_so_many_more_pieces_show_the_dulling_that_was_asked_for():
    """Simulated: 4 of 5 within three standard errors of 300 tests (7 %)."""
    (one,) = dulling_by_tool(chopped({"H": CALM}))
    assert one.seen == 0
    assert share_seen(14, one.shows_pct / 100) == pytest.approx(0.8, abs=0.07)
    assert share_seen(14 + one.pieces_more, one.aim_pct / 100) == pytest.approx(0.8, abs=0.07)
    assert share_seen(14, one.aim_pct / 100, tests=100) < 0.6  # as few as these do not


def test_more_scatter_asks_for_more_pieces():
    calm = dulling_by_tool(chopped({"H": CALM}))[0]
    wild = dulling_by_tool(chopped({"H": [round(1.8 * n - 33) for n in CALM]}))[0]
    assert wild.shows_pct > 1.2 * calm.shows_pct


def test_a_single_piece_shows_nothing_of_use_and_says_so():
    one, _ = dulling_by_tool(chopped({"H": [30], "C": WORN}))
    assert (one.shows_pct, one.aim_pct) == (None, 50.0)
    assert "would show a dulling" not in one.wanted_words()
    assert "more with each tool" in one.wanted_words()


def test_no_strokes_before_a_piece_say_nothing_of_dulling():
    assert dulling_by_tool(Billets(["H"] * 3, [20, 21, 22], [30.0] * 3)) == ()


def test_short_pieces_that_hardly_use_an_edge_would_take_over_a_hundred():
    (one,) = dulling_by_tool(chopped({"H": [2, 1, 3, 2, 2, 1] * 8}))
    assert one.pieces_more is None or one.pieces_more <= MOST_PIECES
    (few,) = dulling_by_tool(chopped({"H": [1, 1, 1]}))
    assert few.pieces_more is None
    assert few.wanted_words() == "over 100 pieces more would show one of 50 %"


def test_boards_that_come_one_after_the_other_hide_some_of_the_dulling():
    counts = {"H": EVEN}
    boards = [f"board {i // 3}" for i in range(9)]
    (alone,), (mixed,) = dulling_by_tool(chopped(counts)), dulling_by_tool(
        chopped(counts, board=boards)
    )  # fmt: skip
    assert mixed.shows_pct > 1.05 * alone.shows_pct
    assert (mixed.aim_pct, mixed.pieces_more) == (20.0, 5)  # on the same boards again it were 2


def from_nought(counts):
    return [sum(counts[:i]) for i in range(len(counts))]


SMALL = [12, 9, 11, 10, 13, 9, 10, 12, 11, 10] * 2


@pytest.mark.parametrize(
    ("first", "since"), [(CALM, CALM[:5]), (SMALL, SMALL[:5]), ([200], CALM[:6])]
)
def test_a_touched_up_edge_goes_on_from_the_strokes_since(first, since):
    """As many pieces more with the stoned edge show what they were to show, not far less."""
    (one,) = dulling_by_tool(
        replace(chopped({"H": first + since}), chops_before=from_nought(first) + from_nought(since))
    )
    more = ((first + since) * 5)[: one.pieces_more]
    gone_on = replace(
        chopped({"H": first + since + more}),
        chops_before=from_nought(first) + from_nought(since + more),
    )
    (then,) = dulling_by_tool(gone_on)
    assert 0.8 * one.aim_pct < then.shows_pct < 1.05 * one.aim_pct


@pytest.mark.parametrize(
    ("shows", "aim"),
    [(60.0, 50.0), (30.0, 20.0), (11.0, 10.0), (6.0, 5.0), (3.0, 2.0), (2.0, None)],
)
def test_the_next_dulling_below_what_is_shown_is_aimed_at(monkeypatch, shows, aim):
    kind = next(one for one in vars(module).values() if hasattr(one, "_least_shown"))
    monkeypatch.setattr(kind, "_least_shown", lambda *_: shows)
    monkeypatch.setattr(kind, "_pieces_more", lambda self, name, pct: round(pct))
    (found,) = dulling_by_tool(chopped({"H": CALM}))
    assert (found.shows_pct, found.aim_pct, found.pieces_more) == (shows, aim, aim)


def test_the_strokes_of_a_touched_up_edge_begin_anew_and_its_work_does_not():
    billets = SimpleNamespace(
        blade=np.array(["H"] * 4),
        chops=np.array([100, 10, 30, 20]),
        chops_before=np.array([0, 100, 0, 30]),
    )
    since, run, now = _work(billets, ["H"])
    assert since.tolist() == [0, 100, 110, 140]
    assert set(run.tolist()) == {160}
    assert set(now.tolist()) == {50}
