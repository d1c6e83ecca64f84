"""Where the work on a piece stands: its hard and soft heats, the best of them, the temper."""

from dataclasses import replace

import pytest

from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, number, seen, temper
from tests.steel.stands import stands

TABLES = load_steel_tables()
SOFT, MIDDLING, HARD = files(None, 40, "below"), files(50, 55), files(60, 65)


def at(*heats, pieces=(), trials=(), **of):
    found = seen(*heats, trials=trials, **of)
    found = replace(found, pieces=(*found.pieces, *pieces))
    return Situation(found, found.pieces[0], weigh_steel(found, TABLES), TABLES)


def test_heats_fall_into_hard_soft_and_neither():
    here = at(heat(HARD), heat(SOFT, coupon="2"), heat(MIDDLING, coupon="3"), heat(coupon="4"))
    assert [h.coupon for h in here.heats] == ["1", "2", "3", "4"]
    assert [h.coupon for h in here.read] == ["1", "2", "3"]
    assert [h.coupon for h in here.hard] == ["1"]
    assert [h.coupon for h in here.soft] == ["2"]
    packed = at(heat(HARD, carburised=True), heat(SOFT, piece="B"), pieces=[PieceSeen("B")])
    assert packed.heats == []


@pytest.mark.parametrize(
    ("heats", "best"),
    [
        # A hard one that was tempered, before a later one that was not.
        ((heat(HARD, tempers=(temper(number(60), 200),)), heat(HARD, coupon="2")), "1"),
        # A sound one before a cracked one, the later of two sound ones.
        ((heat(HARD), heat(HARD, coupon="2"), heat(HARD, coupon="3", cracked=1)), "2"),
        # A coarse one only where nothing else is hard.
        ((heat(HARD), heat(HARD, coupon="2", grain="coarse")), "1"),
        ((heat(SOFT), heat(HARD, coupon="2", grain="coarse"), heat(SOFT, coupon="3")), "2"),
        # Nothing hard: the last that was read; nothing read: the last.
        ((heat(SOFT), heat(MIDDLING, coupon="2"), heat(coupon="3")), "2"),
        ((heat(), heat(coupon="2")), "2"),
    ],
)
def test_the_best_heat_shows_most_of_what_the_steel_can_do(heats, best):
    assert at(*heats).best.coupon == best
    assert at().best is None


def state(*readings, use="knife", for_use=()):
    tempers = [
        replace(temper(one, 180 + 20 * i), for_use=i in for_use) for i, one in enumerate(readings)
    ]
    here = at(heat(HARD, tempers=tuple(tempers)), use=use)
    return here.temper_state(here.heats[0])


def test_the_hardness_after_the_temper_is_held_against_the_wanted():
    """A knife wants 57 to 63 HRC."""
    assert state() == "none"
    assert state(number(60)) == "within"
    assert state(number(57)) == "within"
    assert state(number(56)) == "below"
    assert state(number(63)) == "within"
    assert state(number(64)) == "above"
    assert state(files(60, 65)) == "within"
    assert state(files(63, 67)) == "above"
    assert state(files(50, 57)) == "below"
    assert state(number(65), number(56)) == "between"
    assert state(number(65), number(60)) == "within"
    assert state(number(65), number(64)) == "above"
    # The temper for use is judged by its own reading.
    assert state(number(65), number(60), for_use={0}) == "above"
    assert state(number(50), use="hedging_tool") == "below"
    assert state(number(52), use="hedging_tool") == "within"


def test_far_below_is_more_than_a_temper_step_or_two_takes():
    def far(*readings):
        here = at(heat(HARD, tempers=tuple(temper(one, 180) for one in readings)), use="knife")
        return here.far_below(here.heats[0])

    assert far(number(52))
    assert not far(number(53))
    assert not far(number(50), number(51))
    assert not far()


def test_a_heat_reaches_where_a_low_temper_leaves_room():
    here = at(use="knife")
    assert here.reaches(heat(number(60)))
    assert not here.reaches(heat(number(59)))
    assert not here.reaches(heat())


def test_the_fastest_medium_in_which_it_stayed_soft():
    assert at(heat(SOFT), heat(SOFT, coupon="2", medium="water")).fastest_soft() == "water"
    assert at(heat(SOFT, medium="warm_water"), heat(HARD, coupon="2", medium="brine")
              ).fastest_soft() == "warm_water"  # fmt: skip
    assert at(heat(HARD)).fastest_soft() is None
    assert at(heat(SOFT, medium=None)).fastest_soft() is None


def test_what_was_read_on_the_skin_is_loose():
    assert at(heat(files(60, 65, "skin"))).loose
    assert at(heat(HARD)).loose
    assert not at(heat(files(60, 65, "below"))).loose
    assert not at(heat(HARD), heat(files(60, 65, "below"), coupon="2")).loose
    assert not at().loose
    assert at(hardness=(HARD,)).loose_as_found
    assert not at(hardness=(SOFT,)).loose_as_found
    assert not at().loose_as_found


def test_sisters_are_the_other_pieces_of_the_lot():
    others = [PieceSeen("B", lot="car"), PieceSeen("C", lot="barn"), PieceSeen("D")]
    here = at(heat(HARD), heat(HARD, piece="B"), pieces=others, lot="car",
              trials=[TrialSeen("A", "rope", "same"), TrialSeen("B", "rope", "same"),
                      TrialSeen("A", "rope", "same", carburised=True)])  # fmt: skip
    assert here.sisters == {"B"}
    assert here.sisters_quenched == {"B"}
    assert len(here.trials) == 1
    assert at(pieces=others).sisters == set()


def test_sisters_whose_evidence_does_not_fit_together():
    b = [heat(SOFT, piece="B", coupon="1"), heat(files(60, 65, "below"), piece="B", coupon="2")]
    lot = {"pieces": [PieceSeen("B", lot="L"), PieceSeen("C", lot="L")], "lot": "L"}
    assert stands(heat(HARD), *b, **lot).sisters_unmended == {"B"}
    assert stands(heat(HARD), b[1], **lot).sisters_unmended == set()


def test_what_is_read_after_a_short_temper_tells_no_temper():
    short = temper(files(40, 45), 200, time_min=5.0)
    here = at(heat(HARD, tempers=(short,)))
    assert here.temper_state(here.best) == "none"
    long = replace(short, time_min=60.0)
    both = at(heat(HARD, tempers=(short, long)))
    assert (both.temper_state(both.best), both.far_below(both.best)) == ("below", True)


@pytest.mark.parametrize(
    ("read", "use", "state"),
    [
        (files(60, 65), "chopper", "above"), (files(60, None), "chopper", "above"),
        (files(55, 60), "chopper", "within"), (number(60.5), "chopper", "within"),
        (files(60, 65), "knife", "within"), (files(60, None), "knife", "within"),
        (files(55, 65), "chopper", "within"),
    ],
)  # fmt: skip
def test_a_bracket_that_lies_mostly_above_the_range_is_not_in_it(read, use, state):
    here = at(heat(HARD, tempers=(temper(read, 175.0),)), use=use)
    assert here.temper_state(here.best) == state
