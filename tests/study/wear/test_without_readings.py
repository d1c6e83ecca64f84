"""Readings that stand out are left out one by one, or together, and the verdict told by both."""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import Where, codes, doubt
from edgetest.errors import UnusableInput
from edgetest.study.wear.picture_or_hand import AgainstHand
from edgetest.study.wear.without_readings import without_keen_pictures, without_readings


@dataclass(frozen=True)
class How:
    robust: bool = False


class Columns:
    def __init__(self, rows):
        self.row = np.array(rows)

    def take(self, index):
        return Columns(self.row[index])


def odd(row, blade="A"):
    where = Where("log.csv", row, blade, 50.0, 9.0, 5.0)
    return doubt("outlying_reading", where=where, met="9", cuts="50", expected="5")


def fit_of(*doubts, blades=1, more=()):
    first = SimpleNamespace(blade="A", doubts=(*doubts, *more))
    rest = [SimpleNamespace(blade=f"B{n}", doubts=()) for n in range(blades - 1)]
    fit = SimpleNamespace(blades=[first, *rest], doubts=())
    fit.in_file = lambda _: fit
    return fit


class Curves:
    """`verdicts` by the rows that are left out; all else is as given."""

    def __init__(self, fit, verdicts=(), *, rows=range(1, 12), hand=()):
        self.fit, self.columns, self.how, self.file = fit, Columns(rows), How(), "log.csv"
        self.verdicts, self.asked, self.fits = dict(verdicts), [], None
        about = doubt("keen_in_the_picture", hand="the grade", places="A at 50 cuts")
        self.against_hand = AgainstHand((("A", 50.0),), tuple(hand), (about,) if hand else ())

    def finding(self, given, *, columns=None, how=None):
        left = tuple(sorted(set(self.columns.row.tolist()) - set(columns.row.tolist())))
        self.asked.append(left)
        verdict = self.verdicts.get(left, "longer")
        if verdict == "nothing":
            raise UnusableInput("none is left", "x", "y")
        return verdict and found(verdict.removesuffix(BARELY), BARELY not in verdict)


BARELY = ", by less than the margin"


def found(verdict, reaches=True):
    return SimpleNamespace(verdict=verdict, summary=lambda: verdict, reaches_margin=reaches)


GIVEN = found("longer")


def asked(curves):
    others, told = without_readings(curves, GIVEN)
    return [one.with_it for one in others], codes(told), curves.asked


def test_where_nothing_stands_out_nothing_is_tried():
    assert asked(Curves(fit_of())) == ([], (), [])
    bare = doubt("outlying_reading", where=Where(blade="A"), met="9", cuts="50", expected="5")
    assert asked(Curves(fit_of(bare))) == ([], (), [])


def test_a_reading_that_changes_the_verdict_is_named_with_what_is_expected():
    curves = Curves(fit_of(odd(3)), {(3,): "cannot_tell"})
    (one,), told = without_readings(curves, GIVEN)
    assert one.with_it == "With row 3 (9 at 50 cuts, about 5 expected)"
    assert told == []
    assert curves.asked == [(3,)]


def test_a_reading_that_changes_nothing_is_doubted_as_the_fit_doubts_it():
    assert without_readings(Curves(fit_of(odd(3))), GIVEN) == ([], [odd(3)])
    assert asked(Curves(fit_of(odd(3)), {(3,): None}))[0] == []


def test_several_are_tried_one_by_one_and_then_together():
    two = fit_of(odd(3), odd(5))
    assert asked(Curves(two)) == ([], ("outlying_reading",) * 2, [(3,), (5,), (3, 5)])
    with_them, told, tried = asked(Curves(two, {(3, 5): "cannot_tell"}))
    assert (with_them, tried[-1]) == (["With them"], (3, 5))
    assert told == ("outlying_reading",) * 2
    one, _, tried = asked(Curves(two, {(5,): "shorter"}))
    assert len(one) == 1
    assert tried == [(3,), (5,)]  # one alone changes it: together is not asked


def test_more_than_four_are_tried_together_alone():
    five = fit_of(*(odd(row) for row in range(1, 6)))
    assert asked(Curves(five)) == (
        [], ("readings_stand_out", *["outlying_reading"] * 5), [(1, 2, 3, 4, 5)],
    )  # fmt: skip
    changed = asked(Curves(five, {(1, 2, 3, 4, 5): "shorter"}))
    assert changed[0] == ["With them"]
    assert changed[1] == ("outlying_reading",) * 5
    four = fit_of(*(odd(row) for row in range(1, 5)))
    assert len(asked(Curves(four))[2]) == 5


def test_of_many_blades_none_is_left_out_by_itself():
    assert asked(Curves(fit_of(odd(3), blades=61)))[2] == [(3,)]
    assert asked(Curves(fit_of(odd(3), blades=61)))[1] == ("readings_stand_out", "outlying_reading")
    assert asked(Curves(fit_of(odd(3), blades=60)))[1] == ("outlying_reading",)


def test_a_verdict_that_stands_but_no_longer_by_the_margin_is_told_and_decides_nothing():
    (one,), told = without_readings(Curves(fit_of(odd(3)), {(3,): f"longer{BARELY}"}), GIVEN)
    assert (one.decides, one.lessens, one.what, told) == (False, True, "one reading", [])
    two = Curves(fit_of(odd(3), odd(5)), {(3, 5): f"longer{BARELY}"})
    (both,), told = without_readings(two, GIVEN)
    assert (both.decides, both.lessens) == (False, True)
    assert both.what == "2 readings that stand out"
    assert codes(told) == ("outlying_reading",) * 2
    # nor where the answer given did not reach it, nor where the verdict is another one
    barely = found("longer", reaches=False)
    assert without_readings(Curves(fit_of(odd(3)), {(3,): f"longer{BARELY}"}), barely)[0] == []
    (turned,), _ = without_readings(Curves(fit_of(odd(3)), {(3,): f"shorter{BARELY}"}), GIVEN)
    assert (turned.decides, turned.lessens) == (True, False)


def keen(verdict):
    curves = Curves(fit_of(), {(2, 4): verdict}, hand=(2, 4))
    return without_keen_pictures(curves, GIVEN)


def test_without_pictures_against_the_hand_nothing_is_tried():
    assert without_keen_pictures(Curves(fit_of()), GIVEN) == ([], [])


def test_stages_where_picture_and_hand_disagree_are_left_out():
    (one,), told = keen("cannot_tell")
    assert one.what == "the stages where picture and hand disagree"
    assert told == []
    none, (same,) = keen("longer")
    assert (none, same.gravity) == ([], doubt("keen_in_the_picture", hand="", places="").gravity)


@pytest.mark.parametrize("verdict", [None, "nothing"])
def test_an_answer_of_those_pictures_alone_is_decided_by_them(verdict):
    none, (told,) = keen(verdict)
    assert none == []
    assert told.gravity == "decides"
    assert told.text.endswith("Without these stages the heat treatments cannot be compared.")
