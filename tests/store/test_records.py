"""study.toml: what it holds."""

import pickle
from pathlib import Path

import pytest

from edgetest.store.blades import Blade
from edgetest.store.records import load_study
from edgetest.store.toml_edit import edited
from tests.store.maker_study import STUDY


def test_a_study_as_a_maker_writes_it(write):
    study = load_study(write(STUDY))
    assert study.invented
    assert study.date == "2026-05-04"
    assert study.rules.id == "sisal_rope"
    assert (study.reading_name, study.limit_value) == ("edge_width_um", 12.0)
    blade = study.blade("K1")
    assert blade.spine_mm == pytest.approx(6.35)
    assert blade.thickness_behind_edge_mm == 0.5
    assert blade.hardness_target_hrc == (58.0, 60.0)
    assert blade.hardness_hrc == (59.0, 59.5)
    assert study.heat_treatment_of("K1") == "low"
    assert study.heat_treatment_of("C1") is None
    assert study.scales["high"].pitch_um == 10
    assert study.evidence == {"magnet": "sticks"}


def test_both_ways_of_giving_the_angle_say_which(write):
    study = load_study(write(STUDY))
    assert study.blade("K1").included_angle_deg == 30
    assert study.blade("C1").included_angle_deg == 30
    assert study.blade("K1").angle_words() == "30° included (15° per side)"
    assert study.blade("C1").angle_words() == "15° per side (30° included)"


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (
            {"angle_per_side_deg": "17,5", "angle_u_deg": 1},
            "17.5° ± 1° per side (35° ± 2° included)",
        ),
        ({"included_angle_deg": 30, "angle_u_deg": 1}, "30° ± 1° included (15° ± 0.5° per side)"),
        ({"angle_per_side_deg": 15}, "15° per side (30° included), how closely not noted"),
        ({"angle_u_deg": 1}, ""),
    ],
)
def test_the_angle_says_how_closely_it_is_known_or_that_nobody_noted_it(facts, words):
    assert Blade(id="A", **facts).angle_with_u_words() == words


def test_temperatures_come_in_either_scale_and_are_told_as_typed(write):
    steps = load_study(write(STUDY)).heat_treatment("low").steps
    assert steps[0].temperature_c == pytest.approx(871.11, abs=0.005)
    assert steps[1].temperature_c == pytest.approx(801.667, abs=0.001)
    assert steps[3].time_min == 120
    assert [step.words() for step in steps] == [
        "normalise 2 × 1600 °F", "austenitise 1475 °F, soak 5 min", "quench oil",
        "temper 2 × 190 °C, 2 h",
    ]  # fmt: skip


def test_a_study_survives_being_written(write, tmp_path):
    study = load_study(write(STUDY))
    again = load_study(write(edited("", {}, study.to_toml_dict())))
    assert again == study


def test_a_study_can_be_sent_to_another_process(write):
    study = load_study(write(STUDY))
    assert pickle.loads(pickle.dumps(study)) == study


def test_an_angle_that_nobody_noted_is_none(write):
    blade = load_study(write(STUDY.replace("included_angle_deg = 30\n", ""))).blade("K1")
    assert blade.included_angle_deg is None
    assert blade.angle_words() == ""


def test_windows_line_ends_and_a_byte_order_mark(tmp_path):
    (tmp_path / "study.toml").write_bytes(STUDY.replace("\n", "\r\n").encode("utf-8-sig"))
    assert load_study(tmp_path / "study.toml").title == "Two tempers"


def test_a_protocol_of_ones_own_in_the_folder(write):
    folder = write(STUDY.replace('"sisal_rope"', '"mine.toml"'))
    source = Path(__file__).parent.parent.parent / "protocols" / "sisal_rope.toml"
    text = source.read_text(encoding="utf-8").replace('id = "sisal_rope"', 'id = "mine"')
    (folder / "mine.toml").write_text(text.replace("value = 12.0", "value = 15"), encoding="utf-8")
    assert load_study(folder).limit_value == 15
