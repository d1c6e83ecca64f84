"""What photographs leave open of an apex: its light, and its form, each side of every limit."""

from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.photo.apex.apex_light import height_lost_ratio
from edgetest.study.wear.apex_doubts import apex_doubts

ON_AXIS = {"direction": "on-axis", "lens_na": 0.1, "lamp_na": 0.1}
RING = {"direction": "ring", "lens_na": 0.1, "lamp_na": None}
BARE = {"direction": "", "lens_na": None, "lamp_na": None}


@dataclass
class Reading:
    photo: str
    heat_treatment: str = "hard"
    source: str = "photograph"
    excluded: str = ""


def photo(name, light=ON_AXIS, *, corner=None, w30=4.0, measured=True):
    crest = {"corner_um": None if corner is None else {"value": corner}}
    numbers = {"light": light, "crest": crest, "w30_um": {"value": w30}}
    return SimpleNamespace(photo=name, numbers=numbers, measured=measured)


def study(*angles):
    return SimpleNamespace(blades=[SimpleNamespace(included_angle_deg=one) for one in angles])


def asked(lights, *, reading="edge_width_um", of=None, **more):
    """Doubts of one photograph a light; `of` names the heat treatments."""
    photos = [photo(f"{n}.png", light, **more) for n, light in enumerate(lights)]
    names = of or ["hard"] * len(lights)
    readings = [Reading(one.photo, name) for one, name in zip(photos, names, strict=True)]
    return apex_doubts(study(), reading, readings, photos)


@pytest.mark.parametrize(
    ("lights", "of", "told"),
    [
        ([ON_AXIS], None, ("apexes_alike",)),
        ([ON_AXIS, ON_AXIS], ["hard", "soft"], ("apexes_alike",)),
        ([BARE, BARE], None, ("light_not_noted", "apexes_alike")),
        ([ON_AXIS, RING], None, ("lights_differ", "apexes_alike")),
        ([ON_AXIS, BARE], None, ("light_not_noted", "lights_differ", "apexes_alike")),
        ([ON_AXIS, RING], ["hard", "soft"], ("lights_between_groups", "apexes_alike")),
        # One odd light of several: both heat treatments were mostly taken in the same one.
        (
            [ON_AXIS, ON_AXIS, RING, ON_AXIS],
            ["hard", "hard", "hard", "soft"],
            ("lights_differ", "apexes_alike"),
        ),
    ],
)
def test_lights_are_told_of_where_they_are_not_one(lights, of, told):
    assert codes(asked(lights, of=of)) == told


def test_lights_that_differ_are_named_each_once_and_in_order():
    (differ, _) = asked([RING, ON_AXIS])
    assert "(on-axis light, lens aperture 0.1, lamp aperture 0.1; ring light, lens" in differ.text
    (between, _) = asked([ON_AXIS, RING], of=["hard", ""])
    assert "hard: on-axis light" in between.text
    assert "without a name: ring light" in between.text


@pytest.mark.parametrize(
    "reading",
    [Reading("a.png", source="typed"), Reading("a.png", excluded="slip"), Reading("b.png")],
)
def test_only_photographs_that_count_are_asked_about(reading):
    assert apex_doubts(study(), "edge_width_um", [reading], [photo("a.png")]) == []
    refused = [photo("a.png", measured=False)]
    assert apex_doubts(study(), "edge_width_um", [Reading("a.png")], refused) == []


@pytest.mark.parametrize(
    ("of", "angle"),
    [(None, 30), (study(), 30), (study(None), 30), (study(24.0, None, 40.0, 36.0), 36)],
)
def test_the_angle_is_the_middle_of_those_noted(of, angle):
    (told,) = apex_doubts(of, "edge_width_um", [Reading("a.png")], [photo("a.png")])
    assert f"(edges of {angle}° included)" in told.text
    assert f"{height_lost_ratio(angle):.1f} times" in told.text


def test_corners_are_told_as_a_share_of_w30():
    (told,) = asked([ON_AXIS, ON_AXIS], reading="w30_um", corner=1.0)
    assert told.code == "crests_known"
    assert "25 % of W30 of hard" in told.text
    assert "2 of 2 photographs" in told.text


@pytest.mark.parametrize("more", [{"corner": None}, {"corner": 1.0, "w30": None}])
def test_without_corners_in_every_heat_treatment_crests_are_taken_as_alike(more):
    (told,) = asked([ON_AXIS], reading="w30_um", **more)
    assert told.code == "crests_alike"


def test_one_photograph_with_a_corner_in_each_heat_treatment_is_enough():
    photos = [photo("a", corner=1.0), photo("b"), photo("c", corner=3.0), photo("d", corner=1.0)]
    readings = [Reading("a"), Reading("b"), Reading("c", "soft"), Reading("d", "soft")]
    (told,) = apex_doubts(None, "w30_um", readings, photos)
    assert "25 % of W30 of hard and 50 % of W30 of soft" in told.text
    assert "3 of 4 photographs" in told.text
