"""New damage by pairs of photographs, by counts, and within bounds, from looks made by hand."""

import copy
from types import SimpleNamespace

import pytest

from edgetest.study.chop import growth_between
from edgetest.study.chop.chop_growth import doubts_of_growth, growths
from edgetest.study.chop.edge_damage import EdgeDamage


class Look:
    def __init__(self, when, chips, *, source="log", length=100.0, photos=(), standing=None):
        self.blade, self.chops, self.when, self.source = "H1", 20, when, source
        self.chips, self.edge_length_mm, self.photo_length_mm = chips, length, length
        self.photos, self.standing = photos, standing or EdgeDamage()
        self.fresh, self.eyed = when == "before", source == "log"

    def seen_by(self, source):
        told = {"photographs": bool(self.photos)}
        told["log"] = self.eyed or self.standing.worst("chips") is not None
        if not told[source]:
            return None
        one = copy.copy(self)
        one.source = source
        if source == "log" and self.source == "photographs":
            one.chips = [None] * self.standing.worst("chips")
        return one

    def count(self, kind):
        shown = self.source == "photographs"
        length = self.photo_length_mm if shown else self.edge_length_mm
        return (len(self.chips), length) if kind == "chips" else None

    def used(self, _):
        return [{"depth_um": depth} for depth in self.chips]


def photo(chips=0, length_um=1000.0):
    measurement = SimpleNamespace(chips=[None] * chips, rolls=[], edge_length_um=length_um)
    return SimpleNamespace(measurement=measurement)


def place(word, *, before=None, depth=10.0):
    after = None if word == "gone" else SimpleNamespace(depth_um=depth)
    return SimpleNamespace(word=word, before=before, after=after,
                           only_after=before is None)  # fmt: skip


@pytest.fixture
def laid(monkeypatch):
    """Each pair of photographs is followed as told."""

    def pairs(*told):
        found = iter(
            SimpleNamespace(chips=places, rolls=[], accepted=accepted,
                            laid=SimpleNamespace(to_dict=lambda: {"accepted": True}))
            for places, accepted in told
        )  # fmt: skip
        monkeypatch.setattr(growth_between, "follow", lambda *_: next(found))

    return pairs


def grown(before, after):
    (one,) = growths([before, after])
    return one


def bounds(one):
    return one.new, one.old, one.new_at_least, one.new_at_most, one.by


def pictures(chips, photos, when="after", length=100.0):
    return Look(when, chips, source="photographs", photos=photos or [photo()], length=length)


def test_pairs_that_were_laid_together_tell_what_is_new_and_how_deep(laid):
    old = object()
    laid(([place("new", depth=30.0), place("same", before=old), place("gone", before=old)], True))
    one = grown(pictures([1.0], [photo()], "before"), pictures([30.0, 5.0], [photo()]))
    assert bounds(one) == (1, 1, 1, 1, "photographs")
    assert one.new_depth_um == (30.0,)
    assert len(one.followed) == 1
    assert one.following == ({"accepted": True},)


def test_a_place_of_which_it_is_unknown_leaves_bounds(laid):
    laid(([place("new"), place("unknown")], True))
    one = grown(pictures([], [photo()], "before"), pictures([1.0, 2.0], [photo()]))
    assert bounds(one) == (None, None, 1, 2, "unknown")
    assert one.new_depth_um == ()


@pytest.mark.parametrize(
    ("chips", "length_um", "said"),
    [
        ((1, 3), 1000.0, (None, None, 2, 3, "unknown")),
        ((1, 3), 1100.0, (None, None, 2, 3, "unknown")),
        ((1, 3), 1101.0, (None, None, 0, 3, "unknown")),  # a tenth more edge shows more chips
        ((0, 3), 1000.0, (3, 0, 3, 3, "counts")),
        ((3, 1), 1000.0, (None, None, 0, 3, "unknown")),
    ],
)
def test_pairs_that_could_not_be_laid_together_tell_by_their_counts(laid, chips, length_um, said):
    laid(([place("unknown")] * 3, False))
    first, second = photo(chips[0]), photo(chips[1], length_um)
    one = grown(pictures([], [first], "before"), pictures([1.0, 2.0, 3.0], [second]))
    assert bounds(one) == said


def test_another_number_of_photographs_is_counted():
    before = pictures([1.0], [photo()], "before")
    one = grown(before, pictures([1.0, 2.0, 3.0], [photo(), photo()]))
    assert bounds(one) == (None, None, 2, 3, "unknown")
    wider = grown(before, pictures([1.0, 2.0, 3.0], [photo(), photo()], length=111.0))
    assert bounds(wider) == (None, None, 0, 3, "unknown")
    clean = grown(pictures([], [photo()], "before"), pictures([1.0], [photo(), photo()]))
    assert bounds(clean) == (1, 0, 1, 1, "counts")


def test_a_log_before_and_photographs_after_are_counted():
    one = grown(Look("before", [1.0], length=None), pictures([1.0, 2.0], [photo()]))
    assert bounds(one) == (None, None, 1, 2, "unknown")


def test_what_the_log_saw_on_an_earlier_edge_is_added():
    """Of photographs the log can only raise what is new; of its own counts it stands."""
    seen = EdgeDamage(seen=(("chips", 4, 9),))
    after = pictures([1.0, 2.0], [photo()])
    after.standing = seen
    one = grown(Look("before", [], length=None), after)
    assert bounds(one) == (4, 0, 4, 4, "counts")


@pytest.mark.parametrize(
    ("first", "told"),
    [
        (4, (4, 0, 0, 4, "no_look_before")),
        (1, (4, 0, 3, 4, "no_look_before")),
        (0, (4, 0, 4, 4, "counts")),  # the first look showed a whole edge: all came after it
    ],
)
def test_without_a_look_before_what_came_after_the_first_look_is_new(first, told):
    standing = EdgeDamage(seen=(("chips", 4, 9),), left=(("chips", first),))
    assert bounds(growths([Look("after", [1.0], standing=standing)])[0]) == told
    assert bounds(growths([Look("after", [1.0])])[0]) == (1, 0, 0, 1, "no_look_before")


@pytest.mark.parametrize(
    ("logged", "shown", "told"),
    [
        (4, [1.0] * 4, (4, 0, 4, 4, "counts")),
        (4, [1.0] * 3, (4, 0, 4, 4, "counts")),
        (0, [], (0, 0, 0, 0, "counts")),
        (3, [1.0] * 4, (4, 0, 3, 4, "no_look_before")),  # the fourth may be older
    ],
)
def test_a_photograph_at_the_end_makes_no_less_known_than_the_eye_did(logged, shown, told):
    """None at the first look after a piece, so all that the eye counted later is new."""
    standing = EdgeDamage(seen=(("chips", logged, 9),), left=(("chips", 0),))
    after = pictures(shown, [photo()])
    after.standing = standing
    assert bounds(growths([after])[0]) == told


def test_damage_that_came_between_is_new_even_if_photographs_show_less(laid):
    laid(([place("new")], True))
    after = pictures([10.0], [photo()])
    after.standing = EdgeDamage(seen=(("chips", 3, 9),))
    one = grown(pictures([], [photo()], "before"), after)
    assert bounds(one) == (3, 0, 3, 3, "counts")
    assert one.edge_length_mm == 100.0


def photographed_then_seen(laid, *, edge=1, last=(), new=1):
    """A chip in a photograph between the pieces, then a count by eye after all strokes."""
    laid(([place("new", depth=30.0)] * new, True))
    between = pictures([30.0] * new, [photo()], "between", length=72.0)
    between.chops = 12
    after = Look("after", last, standing=EdgeDamage(edge=edge, seen=(("chips", len(last), 9),)))
    (one,) = growths([pictures([], [photo()], "before", length=72.0), between, after])
    return one


def test_a_chip_photographed_between_pieces_stands_whatever_the_eye_sees_later(laid):
    one = photographed_then_seen(laid)
    assert bounds(one) == (1, 0, 1, 1, "photographs")
    assert (one.seen_after, one.chops, one.edge_length_mm) == (12, 20, 72.0)
    assert one.new_depth_um == (30.0,)


def test_what_was_photographed_on_an_edge_touched_up_since_stands(laid):
    """A stone takes the chip off; that the chopping made it stays true."""
    one = photographed_then_seen(laid, edge=2)
    assert bounds(one) == (1, 0, 1, 1, "photographs")
    assert one.seen_after == 12


def test_what_was_photographed_and_is_no_more_than_the_last_look_adds_nothing(laid):
    more = photographed_then_seen(laid, last=(1.0, 2.0))
    assert (more.seen_after, more.new) == (None, 2)
    assert photographed_then_seen(laid, new=0).seen_after is None


def test_an_eye_that_counts_what_the_photographs_before_did_not_show_leaves_nothing_unknown():
    """The first look was by both: none by eye, none photographed; the last by eye alone."""
    before = pictures([], [photo()], "before", length=72.0)
    stands = EdgeDamage(seen=(("chips", 1, 9),), before=(("chips", 0),))
    one = grown(before, Look("after", (1.0,), length=241.0, standing=stands))
    assert bounds(one)[2:] == (1, 1, "counts")


def two_edges(laid, *, first, second, fresh=False):
    """Pictures of an edge, and of the same tool's next edge after a touch-up."""
    laid(*(([place("new", depth=30.0)] * many, True) for many in (first, second)))
    looks = [pictures([], [photo()], "before"), pictures([30.0] * first, [photo()], "between")]
    looks[1].chops = 12
    if fresh:
        looks.append(pictures([], [photo()], "between"))
        looks[-1].fresh = True
    looks.append(pictures([20.0] * second, [photo()], length=48.0))
    for look in looks[2:]:
        look.standing = EdgeDamage(edge=2)
    (one,) = growths(looks)
    return one


def test_a_chip_of_the_edge_before_a_touch_up_counts_by_its_photograph(laid):
    """The last picture rightly lacks it: the stone took it off."""
    one = two_edges(laid, first=1, second=0)
    assert bounds(one) == (1, 0, 1, 1, "photographs")
    assert (one.source, one.seen_after, one.edge_length_mm) == ("photographs", 12, 100.0)


@pytest.mark.parametrize(
    ("fresh", "told"),
    [(False, (None, None, 1, 2, "touched_up")), (True, (2, None, 2, 2, "counts"))],
)
def test_a_picture_of_the_new_edge_before_it_works_parts_its_damage_from_the_old(laid, fresh, told):
    one = two_edges(laid, first=1, second=1, fresh=fresh)
    assert bounds(one) == told
    assert one.edge_length_mm == 48.0
    assert one.new_depth_um == ((30.0, 30.0) if fresh else ())


def beside(laid, *, logged, shown):
    """H1, whose eye counts more than its photographs show, and H2 with so many of each."""
    laid(([], True), ([place("new")] * shown, True))
    looks = []
    for blade, eye, seen in (("H1", 1, 0), ("H2", logged, shown)):
        first = pictures([], [photo()], "before", length=72.0)
        last = pictures([10.0] * seen, [photo()], length=48.0)
        first.standing = EdgeDamage(seen=(("chips", 0, 1),), before=(("chips", 0),))
        last.standing = EdgeDamage(seen=(("chips", eye, 9),), before=(("chips", 0),))
        for look in (first, last):
            look.blade, look.edge_length_mm = blade, 241.0
            looks.append(look)
    return growths(looks)


def test_a_tool_turned_to_the_eye_for_another_counts_by_the_eye_and_keeps_its_photographs(laid):
    """The eye saw none on all 241 mm; that a photograph of 48 mm shows one is said beside it."""
    one, other = beside(laid, logged=0, shown=1)
    assert (one.why_eye, other.why_eye) == ("unseen", "alike")
    assert (other.new, other.source, other.edge_length_mm) == (0, "log", 241.0)
    shown = other.photographed
    assert (shown.at_least, shown.at_most, shown.edge_length_mm) == (1, 1, 48.0)
    assert other.beyond_eye == 1
    assert one.beyond_eye == 0


def test_why_a_kind_went_over_to_the_eye_is_told_of_the_tool_that_made_it(laid):
    told = [one for one in doubts_of_growth(beside(laid, logged=0, shown=1))]
    assert [(one.code, one.where.blade) for one in told] == [("eye_beyond_photographs", "H1")]
