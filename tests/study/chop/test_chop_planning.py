"""What a chop test is planned by: strokes, pieces, and how many blades its options need."""

from types import SimpleNamespace

import pytest

from edgetest.chop.chop_power import ChopsExpected
from edgetest.doubts import codes
from edgetest.study.chop import chop_planning as module
from edgetest.study.chop.chop_planning import ChopPlan, OwnBlades, plan_chops
from edgetest.wear.plan.study_design import Goal
from edgetest.wear.plan.study_power import UNSAID


@pytest.fixture
def planned(monkeypatch):
    """The plan, and what was asked of the simulation: blades, studies, expectation."""
    asked = []

    def power(blades, ratio, expected, rng, *, level, studies, step):
        asked.append((blades, studies, expected))
        return SimpleNamespace(blades=blades)

    monkeypatch.setattr(module, "chop_power", power)
    monkeypatch.setattr(module, "blades_by_curve", lambda *_: 4)

    def of(kinds=("billet",), stages=(1, 2, 3), *, fresh=None, blades=(), severed=(), boards=(),
           batches=()):  # fmt: skip
        asked.clear()
        monkeypatch.setattr(module, "severings", lambda *_: severed)
        rules = SimpleNamespace(chop_kinds=kinds, stages=stages)
        source = SimpleNamespace(protocol=rules, chops=None, study=None)
        options = SimpleNamespace(fresh=fresh)
        own = OwnBlades(blades, batches, boards)
        plan = plan_chops(source, Goal(1.25), options, 0.15, None, own=own)
        return plan, list(asked)

    return of


def piece(chops, *, severed=True):
    return SimpleNamespace(chops=chops, severed=severed)


@pytest.mark.parametrize(
    ("more", "strokes", "told"),
    [
        ({}, 20.0, ("strokes_assumed",)),
        ({"fresh": 35}, 35.0, ()),
        ({"severed": [piece(10), piece(12), piece(30), piece(99, severed=False)]}, 12.0, ()),
        ({"severed": [piece(99, severed=False)]}, 20.0, ("strokes_assumed",)),
        ({"fresh": 35, "severed": [piece(10)]}, 35.0, ()),
    ],
)
def test_strokes_are_as_asked_or_seen_or_usual(planned, more, strokes, told):
    plan, _ = planned(**more)
    assert plan.expected.strokes == strokes
    assert codes(plan.doubts) == told
    assert (plan.expected.pieces, plan.expected.chops) == (3, ())


def test_pieces_are_simulated_for_two_to_ten_blades_a_side(work_in_full, planned):
    plan, asked = planned()
    assert [blades for blades, *_ in asked] == [(n, n) for n in (2, 3, 4, 5, 6, 8, 10)]
    assert {studies for _, studies, _ in asked} == {150}
    assert plan.need.as_planned is None
    assert plan.need.blades_planned == ()
    assert [one.stages for one in plan.need.options] == [3, 6, 9]
    assert [one.readings for one in plan.need.options] == [2 * 4 * n for n in (3, 6, 9)]
    assert plan.need.treatments == 2
    assert plan.need.words.readings == "pieces"


def test_each_board_gives_a_piece_to_each_blade(planned):
    assert planned(boards=tuple("abcde"))[0].expected.pieces == 5
    assert planned(boards=("a", "b"))[0].expected.pieces == 3  # as many as the protocol asks for
    assert planned(("single",), (1, 11), boards=tuple("abcde"))[0].expected.chops == (1, 11)


def test_the_study_s_own_blades_are_simulated_more_often(work_in_full, planned):
    plan, asked = planned(blades=(3, 2, 4))
    assert asked[-1][:2] == ((3, 2, 4), 400)
    assert asked[0][0] == (2, 2, 2)
    assert (plan.need.blades_planned, plan.need.treatments) == ((3, 2, 4), 3)
    assert planned(blades=(3,))[0].need.as_planned is None


def test_depths_are_simulated_for_few_blades(work_in_full, planned):
    plan, asked = planned(("single",), (1, 11, 21, 31), blades=(2, 3))
    assert [(blades, studies) for blades, studies, _ in asked] == [
        ((2, 2), 80), ((3, 3), 80), ((4, 4), 80), ((2, 3), 80),
    ]  # fmt: skip
    assert plan.expected.chops == (1, 11, 21, 31)
    (only,) = plan.need.options
    assert (only.stages, only.readings) == (4, 2 * 4 * 4)
    assert plan.need.words.readings == "measured chops"
    assert codes(plan.doubts) == ()


def test_an_option_adds_what_its_readings_leave_open(planned):
    plan, _ = planned(fresh=25)
    one = plan.need.chosen
    expected = plan.expected
    assert one.reading_se == pytest.approx(((1 / 25 + expected.piece_cv**2) / 3) ** 0.5)
    assert one.sd_log_life == pytest.approx((0.15**2 + one.reading_se**2) ** 0.5)
    more = plan.need.options[1]
    assert more.reading_se == pytest.approx(one.reading_se / 2**0.5)


def test_the_work_is_told_in_a_maker_s_words():
    pieces = ChopPlan(None, ChopsExpected(0.15, 20.4, 3, 0.123), ())
    assert pieces.work() == (
        "Let each blade sever 3 pieces, one of every board, at about 20 chops a piece; pieces of "
        "one board are taken to differ by 12 % beyond counting chance."
    )
    of_two = ChopPlan(None, ChopsExpected(0.15, 20.4, 6, 0.123), (), boards=2)
    assert "sever 6 pieces, of 2 boards, as the order below has it, at about" in of_two.work()
    chops = ChopPlan(None, ChopsExpected(0.15, chops=(1, 11), depth_sd=0.15), ())
    assert chops.work().startswith("Measure 2 chops of each blade, all blades in turn on one board")
    assert chops.work().endswith("one depth is taken to scatter by 15 %.")


def test_the_chance_of_own_blades_counts_their_batches(planned):
    plan, asked = planned(blades=(4, 4), batches=(2, 2))
    numbers, _, expected = asked[-1]
    assert numbers == (2, 2)
    assert expected.pieces == 6  # two blades of a batch, three pieces each
    assert expected.sd_blades == pytest.approx(0.15 / 2**0.5)
    assert (plan.need.blades_planned, plan.need.batches_planned) == ((4, 4), (2, 2))
    plan, asked = planned(blades=(4, 4), batches=(4, 4))
    assert (asked[-1][0], asked[-1][2].pieces) == ((4, 4), 3)
    plan, asked = planned(("single",), blades=(4, 4), batches=(2, 2))
    assert asked[-1][2].chops == (1, 2, 3) * 2


def test_blades_of_one_batch_have_no_chance_to_tell_of_their_heat_treatment(planned):
    plan, asked = planned(blades=(3, 3), batches=(1, 2))
    assert len(asked) == 7  # of numbers alone
    assert (plan.need.as_planned.value, plan.need.as_planned.method) == (0.0, UNSAID)
