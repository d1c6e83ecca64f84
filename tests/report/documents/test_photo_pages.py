"""Which photographs a document shows: those that the maker chose, else before and after."""

from types import SimpleNamespace

from edgetest.report.documents.photo_pages import _wanted, chosen


def photo(name, blade, cuts, *, status="measured", between_lamps=False):
    numbers = {"status": status, "share_measured": 0.9}
    return SimpleNamespace(
        photo=name,
        blade=blade,
        cuts=cuts,
        station_mm=20.0,
        numbers=numbers,
        measured=status == "measured",
        between_lamps=between_lamps,
    )


PHOTOS = (
    photo("a0.jpg", "A1", 0.0),
    photo("a1.jpg", "A1", 100.0),
    photo("a2.jpg", "A1", 200.0),
    photo("b0.jpg", "B1", 0.0),
    photo("b2.jpg", "B1", 200.0, status="refused"),
)
RESULT = SimpleNamespace(
    photos=PHOTOS,
    reading="edge_width_um",
    readings=(
        SimpleNamespace(blade="A1", heat_treatment="soft"),
        SimpleNamespace(blade="B1", heat_treatment="hard"),
    ),
    study=SimpleNamespace(control=None),
)


def test_before_and_after_of_one_blade_of_each_heat_treatment():
    assert [p.photo for _, p, _ in chosen(RESULT)] == ["a0.jpg", "a2.jpg", "b0.jpg"]


def test_those_that_were_chosen_in_their_order_and_no_refused_one():
    names = ("b2.jpg", "a1.jpg", "gone.jpg", "b0.jpg")
    found = [(t, p.photo, words) for t, p, words in _wanted(RESULT, names)]
    assert found == [("soft", "a1.jpg", "at 100 cuts"), ("hard", "b0.jpg", "at 0 cuts")]


def test_of_two_lights_those_are_shown_that_give_the_reading():
    lamps = tuple(
        photo(name, "A1", cuts, between_lamps=True)
        for name, cuts in (("la.jpg", 0.0), ("lb.jpg", 200.0))
    )
    both = SimpleNamespace(**{**vars(RESULT), "photos": (*PHOTOS, *lamps)})
    assert [p.photo for _, p, _ in chosen(both)] == ["a0.jpg", "a2.jpg", "b0.jpg"]
    both.reading = "w30_um"
    assert [p.photo for _, p, _ in chosen(both)] == ["la.jpg", "lb.jpg"]
