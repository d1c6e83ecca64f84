"""Which blade stood, which gave out, and which of them spoke last?"""

import pytest

from edgetest.steel.steel_seen import TemperSeen, TrialSeen
from edgetest.steel.tried_blades import (
    blade_stood,
    tells_of_edge,
    temper_untried,
    treated,
    tried_blades,
)
from tests.steel.seen_steel import heat

FIRST, SECOND = ("blade1", 1), ("blade1", 2)


def trial(edge=None, result="same", at=FIRST, **of):
    return TrialSeen("A", "chop", result, edge, heat=at, **of)


def blade(at, *tempers, **of):
    return heat(coupon=at[0], heat=at[1], tempers=tuple(TemperSeen(c) for c in tempers), **of)


def told(trials, *heats):
    return [(one.at, one.gave_out, one.stood) for one in tried_blades(trials, heats)]


@pytest.mark.parametrize("edge", ["rolled", "chipped", "broke", "took_a_set"])
def test_an_edge_that_gave_out_did_not_stand_whatever_its_life(edge):
    assert not blade_stood(trial(edge))
    assert not blade_stood(trial(edge, life_ratio=1.4))
    assert blade_stood(trial("sound"))


def test_a_second_test_of_one_blade_takes_no_failure_back():
    rope = TrialSeen("A", "rope", "same", "sound", heat=FIRST)
    assert told([trial("chipped"), rope], blade(FIRST, 230)) == [(FIRST, "chipped", False)]


def test_a_hotter_temper_makes_a_chipped_blade_another():
    both = [trial("chipped"), trial("sound")]
    assert told(both, blade(FIRST, 215, 230)) == [(FIRST, "chipped", False), (FIRST, None, True)]


def test_a_rolled_edge_sharpened_again_is_a_run_of_its_own():
    both = [trial("rolled", "worse"), trial("sound")]
    assert told(both, blade(FIRST, 215)) == [(FIRST, "rolled", False), (FIRST, None, True)]


def test_each_heat_of_a_blade_is_a_blade_and_the_last_tried_stands_last():
    heats = blade(FIRST, 230), blade(SECOND, 215)
    found = told([trial("rolled"), trial("sound", at=SECOND)], *heats)
    assert found == [(FIRST, "rolled", False), (SECOND, None, True)]
    assert told([trial("sound", at=SECOND), trial("rolled")], *heats)[-1] == (
        FIRST,
        "rolled",
        False,
    )


def test_blades_of_no_named_heat_are_one_each():
    assert len(tried_blades([trial(at=None), trial(at=None)], ())) == 2


def test_a_blade_that_lived_short_is_said_so():
    (short,) = tried_blades([trial(None, "worse")], ())
    assert short.short
    assert not short.stood
    assert short.words() == "blade1, heat 1, lived shorter than the known blade"


def test_trials_that_name_their_temper_are_apart_by_it_and_not_by_their_number():
    chips = [trial("chipped", temper_c=215), trial("chipped", temper_c=215, note="again")]
    assert told(chips, blade(FIRST, 215, 230)) == [(FIRST, "chipped", False)]
    later = [trial("chipped", temper_c=215), trial("sound", temper_c=230)]
    assert told(later, blade(FIRST, 215, 230)) == [(FIRST, "chipped", False), (FIRST, None, True)]
    cooler = [trial("sound", temper_c=230), trial("chipped", temper_c=215)]
    assert [one.stood for one in tried_blades(cooler, [blade(FIRST, 230, 215)])] == [True, False]


def test_the_temper_that_a_trial_names_is_the_one_it_was_treated_with():
    heat = blade(FIRST, 215, 230, 245)
    blades = tried_blades([trial("chipped", temper_c=230)], [heat])
    assert treated(blades[0], blades, [heat])[-1] == 230
    assert temper_untried(heat, blades)
    assert not temper_untried(heat, tried_blades([trial("chipped", temper_c=245)], [heat]))


def test_blades_of_other_colours_or_cycles_are_not_treated_alike():
    heats = [blade(at, 215, medium="oil", colour=c, cycles=n)
             for at, c, n in ((FIRST, "cherry", 3), (SECOND, "orange", 3))]  # fmt: skip
    blades = tried_blades([trial("chipped"), trial("sound", at=SECOND)], heats)
    assert treated(blades[0], blades, heats) != treated(blades[1], blades, heats)
    assert treated(blades[0], blades, []) is None


def test_what_chipped_on_a_nail_tells_neither_way_and_a_break_tells_whatever_it_hit():
    nail = [trial(edge, hit="a nail") for edge in ("chipped", "rolled", "broke")]
    assert [tells_of_edge(one) for one in nail] == [False, False, True]
    assert told([nail[0], trial("sound")], blade(FIRST, 215)) == [(FIRST, None, True)]


def test_a_whole_edge_of_a_few_strokes_is_no_trial_and_one_that_chipped_is():
    few = trial("sound", strokes=1)
    assert told([few], blade(FIRST, 215)) == []
    assert not tells_of_edge(trial("sound", strokes=29))
    assert tells_of_edge(trial("sound", strokes=30))
    assert tells_of_edge(trial("sound"))
    assert tells_of_edge(TrialSeen("A", "rope", "same", "sound", strokes=5))
    assert told([few, trial("chipped", strokes=1)], blade(FIRST, 215)) == [
        (FIRST, "chipped", False)
    ]
