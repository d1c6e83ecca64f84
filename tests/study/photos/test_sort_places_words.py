"""Places a picture can go to: in words, which are free, which come next."""

import pytest

from edgetest.study.bench.next_action import Action, Due
from edgetest.study.photos.sort_places import SortPlace, as_planned


def place(stage=0, at=20.0, *, block="", photo="", typed="", name="edge_width_um", check=None):
    due = Due(name, "edge width", "µm", "number", "", at, check)
    return SortPlace(Action("read", "A", "K7", block, stage), due, photo, typed)


@pytest.mark.parametrize(
    ("of", "words"),
    [
        (place(), "K7 · fresh edge · 20 mm"),
        (place(10, None, block="r1"), "K7, r1 · 10 cuts · edge"),
        (place(10, 0.0, name="w30_um"), "K7 · 10 cuts · 0 mm between two lamps"),
        (place(10, check=2), "K7 · 10 cuts · 20 mm, check 2"),
    ],
)
def test_a_place_is_read_out(of, words):
    assert of.words == words


def test_a_place_is_free_where_nothing_stands():
    assert place().free
    assert not place(photo="a.png").free
    assert not place(typed="8").free
    assert place(10, block="r1").key == ("r1", "A", 10, 20.0, "edge_width_um", None)


def planned(places, count, after=None):
    return [one.action.stage for one in as_planned(places, count, after=after)]


def test_pictures_go_to_the_next_free_places():
    places = [place(0, photo="a.png"), place(1), place(2, typed="8"), place(3), place(4)]
    assert planned(places, 2) == [1, 3]
    assert planned(places, 9) == [1, 3, 4]
    assert planned(places, 2, places[1].key) == [3, 4]
    assert planned(places, 2, places[4].key) == [1, 3]  # from the start where none is left
    assert planned(places, 2, ("gone",)) == [1, 3]
    assert planned(places, 0) == []
    full = [place(0, photo="a.png"), place(1, typed="8")]
    assert planned(full, 2, full[0].key) == []
