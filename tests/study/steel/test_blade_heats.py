"""What the blades of a study tell of their steel: homes, heats, tempers, water warm or cold."""

import pytest

from edgetest.steel.steel_seen import HardnessSeen, TemperSeen
from edgetest.store.records import study_of
from edgetest.study.steel.blade_heats import (
    Home,
    blade_homes,
    heats_of_blades,
    homeless,
    medium_in_words,
    reference_blades,
)

PACKED = {"id": "packed", "steps": [{"kind": "carburise", "temperature_c": 900}]}
OIL = {
    "id": "oil",
    "steps": [
        {"kind": "normalise", "temperature_c": 870, "repeats": 3},
        {"kind": "thermal_cycle", "temperature_c": 780},
        {"kind": "austenitise", "temperature_c": 900, "time_min": 9},
        {"kind": "austenitise", "temperature_c": 830, "soak_min": 5, "time_min": 20},
        {"kind": "quench", "medium": "warm oil, 60 °C"},
        {"kind": "temper", "temperature_c": 200, "time_min": 60, "repeats": 2},
        {"kind": "temper", "temperature_c": 220, "soak_min": 30},
    ],
}


def study(tmp_path, *blades, **more):
    tables = {
        "title": "x",
        "protocol": "sisal_rope",
        "heat_treatments": [PACKED, OIL, {"id": "none told"}],
    }
    return study_of({**tables, "blades": list(blades), **more}, tmp_path)


@pytest.mark.parametrize(
    ("text", "medium", "degrees"),
    [
        ("warm oil, 60 °C", "oil", 60),
        ("Brine", "brine", None),
        ("still air", "air", None),
        ("water", "water", None),
        ("water, 39 °C", "water", 39),
        ("water, 40 °C", "warm_water", 40),
        ("warm water", "warm_water", None),
        ("salt, 300 °C", None, 300),
        ("", None, None),
    ],
)
def test_a_quench_is_read_from_its_words(text, medium, degrees):
    assert medium_in_words(text) == (medium, degrees)


def test_the_reference_and_its_sisters_are_of_known_steel(tmp_path):
    found = study(
        tmp_path, {"id": "R", "heat_treatment": "oil"}, {"id": "S", "heat_treatment": "oil"},
        {"id": "T", "heat_treatment": "oil", "piece": "leaf"},
        {"id": "U", "heat_treatment": "packed"}, {"id": "V"}, reference="R",
    )  # fmt: skip
    assert reference_blades(found) == ("R", "S")
    alone = study(tmp_path, {"id": "R"}, {"id": "V"}, reference="R")
    assert reference_blades(alone) == ("R",)
    assert reference_blades(study(tmp_path, {"id": "R"})) == ()


def test_a_blade_lives_with_its_piece_or_with_the_only_one(tmp_path):
    blades = [{"id": "B"}, {"id": "A", "piece": "leaf", "heat_treatment": "packed"}]
    found = study(tmp_path, *blades)
    one, two = blade_homes(found, ("leaf",)), blade_homes(found, ("leaf", "coil"))
    assert one == {"A": Home("leaf", "packed", True), "B": Home("leaf")}
    assert two == {"A": Home("leaf", "packed", True)}
    assert homeless(found, one) == []
    assert homeless(found, two) == ["B"]


def test_a_control_is_of_the_steel_only_where_it_names_a_piece(tmp_path):
    control = {"id": "K"}
    assert blade_homes(study(tmp_path, control, control="K"), ("leaf",)) == {}
    control = {"id": "K", "piece": "leaf"}
    assert blade_homes(study(tmp_path, control, control="K"), ("leaf",)) == {"K": Home("leaf")}


def test_a_heat_is_the_last_quench_with_what_came_before_and_after(tmp_path):
    blade = {
        "id": "A", "heat_treatment": "oil", "spine_mm": 4.5, "hardness_hrc": [60],
        "hardness_files": {"skates": 55, "bites": 65},
    }  # fmt: skip
    found = study(tmp_path, blade)
    (heat,) = heats_of_blades(found, blade_homes(found, ("leaf",)))
    assert (heat.piece, heat.coupon, heat.blade, heat.heat) == ("leaf", "A", "A", 1)
    assert (heat.medium, heat.medium_c, heat.heat_c, heat.soak_min) == ("oil", 60, 830, 5)
    assert (heat.cycles, heat.section_mm, heat.carburised) == (4, 4.5, False)
    assert heat.tempers == (
        TemperSeen(200, 60, 2),
        TemperSeen(
            220, 30, 1, (HardnessSeen(60, 60, by_files=False), HardnessSeen(55, 65)), for_use=True
        ),
    )


def test_a_hardness_alone_is_a_temper_for_use_of_a_heat_not_told(tmp_path):
    found = study(tmp_path, {"id": "A", "hardness_hrc": [60]}, {"id": "B"})
    (heat,) = heats_of_blades(found, blade_homes(found, ("leaf",)))
    assert (heat.blade, heat.medium, heat.heat_c, heat.soak_min, heat.cycles) == (
        "A", None, None, None, None,
    )  # fmt: skip
    assert heat.tempers == (
        TemperSeen(hardness=(HardnessSeen(60, 60, by_files=False),), for_use=True),
    )


def test_a_pack_alone_is_no_quench(tmp_path):
    found = study(tmp_path, {"id": "A", "heat_treatment": "packed"})
    assert heats_of_blades(found, blade_homes(found, ("leaf",))) == ()
    told = study(tmp_path, {"id": "A", "heat_treatment": "packed", "hardness_hrc": [60]})
    (heat,) = heats_of_blades(told, blade_homes(told, ("leaf",)))
    assert heat.carburised
