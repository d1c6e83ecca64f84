"""How well an eye repeats, and what that means for an answer: six pairs, each limit."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.study.photos import sort_eye as module
from edgetest.study.photos.sort_eye import SecondLook, check_of, eye_check, eye_doubts, eye_widths
from edgetest.study.photos.sort_looks import EyeLook


def look(photo, width, number, *, who="me", blind=True):
    return EyeLook(photo, width, blind, who, "", number)


def looks(monkeypatch, *every, written=None):
    found = SimpleNamespace(every=every, written=written or {})
    monkeypatch.setattr(module, "read_looks", lambda _: found)


def pairs(count, *, apart=0.0):
    return [SecondLook(f"p{n}", 8.0 + n, 8.0 + n + apart + 0.1 * (-1) ** n, n + 5)
            for n in range(count)]  # fmt: skip


def test_six_places_seen_twice_say_something():
    few = check_of(pairs(5), 20)
    assert (few.found, few.wanting) == (None, 1)
    assert few.lines() == ("5 places were seen twice. 1 more are needed before they say anything.",)
    assert check_of(pairs(1), 3).lines()[0].startswith("1 place was seen twice. 5 more")
    enough = check_of(pairs(6, apart=0.5), 20)
    assert enough.wanting == 0
    assert enough.found.bias.value == pytest.approx(0.5)
    assert "second look" in enough.lines()[0]
    assert "wider" in enough.lines()[0]
    assert check_of(pairs(6), 20, seen="photograph", mover="focus").seen == "photograph"


def test_drift_is_told_over_all_looks():
    drifting = [SecondLook(f"p{n}", 8.0, 8.0 + 0.1 * n + 0.001 * (-1) ** n, n) for n in range(1, 9)]
    told = check_of(drifting, 20).lines()[-1]
    assert told.startswith("Over 20 looks the eye moves by +2 µm (")
    assert told.endswith("it drifts.")
    still = check_of(pairs(8), 20, seen="photograph", mover="focus").lines()[-1]
    assert still.startswith("Over 20 photographs the focus moves by ")
    assert still.endswith("that may be chance.")


def test_a_drift_of_less_than_a_micrometre_may_be_chance():
    even = [SecondLook(f"p{n}", 8.0, 8.0 + 0.001 * (-1) ** n, n) for n in range(1, 9)]
    told = check_of(even, 2).lines()[-1]
    assert told.endswith("that may be chance.")


def test_a_pair_is_a_person_s_first_and_last_look(monkeypatch):
    looks(monkeypatch, look("a", 8.0, 1), look("a", 8.5, 4), look("a", 9.0, 9), look("b", 4.0, 2),
          look("b", 5.0, 3, who="you"), look("c", None, 5), look("c", 6.0, 6))  # fmt: skip
    found = eye_check("here")
    assert found.pairs == (SecondLook("a", 8.0, 9.0, 8),)
    assert found.looks == 7


def test_a_width_by_eye_is_the_mean_of_its_looks_and_blind_if_all_were(monkeypatch):
    looks(monkeypatch, look("a", 8.0, 1), look("a", 9.0, 2, blind=False), look("b", 4.0, 3),
          look("b", None, 4, blind=False))  # fmt: skip
    assert eye_widths("here") == {"a": (8.5, False), "b": (4.0, True)}


def reading(photo, typed, treatment="hard", cuts=0.0, **more):
    facts = {"source": "log", "excluded": False}
    return SimpleNamespace(photo=photo, typed=typed, heat_treatment=treatment, cuts=cuts,
                           **facts | more)  # fmt: skip


SOURCE = SimpleNamespace(study=object(), path="here")


def doubts(*readings, of="edge_width_um", source=SOURCE):
    return codes(eye_doubts(source, of, readings))


def test_only_widths_as_the_eye_wrote_them_are_doubted(monkeypatch):
    looks(monkeypatch, look("a", 8.0, 1), written={"a": "8.00"})
    told = ("read_by_eye", "eye_not_checked")
    assert doubts(reading("a", 8.0)) == told
    assert doubts(reading("a", 8.0), of="worn_area_um2") == told
    for odd in (
        reading("a", 8.1), reading("b", 8.0), reading("a", None),
        reading("a", 8.0, source="photograph"), reading("a", 8.0, excluded=True),
    ):  # fmt: skip
        assert doubts(odd) == ()
    assert doubts(reading("a", 8.0), of="sever_force_gf") == ()
    assert doubts(reading("a", 8.0), source=SimpleNamespace(study=None, path="here")) == ()


@pytest.mark.parametrize(("apart", "told"), [(0.8, True), (2.0, False)])
def test_an_eye_as_unsure_as_half_the_difference_is_told(monkeypatch, apart, told):
    """Second looks lie 0.4 µm wider, sure to 0.1: half of 0.8 µm, not half of 2."""
    every = []
    for n in range(6):
        wobble = 0.05 * (-1) ** n
        every += [look(f"p{n}", 8.0, 2 * n), look(f"p{n}", 8.4 + wobble, 2 * n + 1)]
    looks(monkeypatch, *every, written={"x": "8.00", "y": f"{8 + apart:.2f}", "z": "99.00"})
    mine = [reading("x", 8.0), reading("y", 8.0 + apart, "soft"), reading("z", 99.0, "soft", 50.0)]
    assert ("eye_as_large_as_difference" in doubts(*mine)) is told
    assert "eye_as_large_as_difference" not in doubts(mine[0])
    assert "eye_as_large_as_difference" not in doubts(mine[0], mine[2])
