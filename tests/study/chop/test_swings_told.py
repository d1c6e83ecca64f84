"""A swing that cannot be is a fault of check and chop alike; a length typed anywhere bounds it."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.asked_about import asked_about
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_faults import chop_faults
from edgetest.study.sources import open_chops, open_source

STUDY = """title = "Billhook (invented)"
protocol = "billet_chop"
[[blades]]
id = "B1"
{blade}
[handling.B1]
grip_mm = 70
strike_mm = 320
mass_g = 1150
balance_mm = 230
pivot_mm = 15
swings = {swings}
seconds = [21.2, 21.4, 21.2]
amplitude_deg = {amplitude}
"""
HEADING = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"


def study(folder, swings=20, amplitude=12, blade=""):
    text = STUDY.format(swings=swings, amplitude=amplitude, blade=blade)
    (folder / "study.toml").write_text(text, encoding="utf-8")
    (folder / "chops.csv").write_text(HEADING + "B1,billet,1,20,50,50,white ash,12\n", "utf-8")
    return folder


def faults(folder):
    source = open_source(folder)
    return [str(one) for one in chop_faults(source.chops, source.study)]


@pytest.mark.parametrize(
    ("swings", "amplitude", "words"),
    [
        (40, 12, "handling.B1, swings: 0.5302 s a swing is too short a period for a pivot 15 mm"),
        (20, 120, "handling.B1, amplitude_deg: 120° to one side is no swing of a pendulum; write"),
    ],
)
def test_check_and_chop_tell_one_fault_with_blade_and_key(tmp_path, swings, amplitude, words):
    source = open_chops(study(tmp_path, swings, amplitude))
    (told,) = faults(tmp_path)
    assert told.startswith(f"study.toml, {words}")
    with pytest.raises(UnusableInput) as refused:
        analyse_chops(source)
    assert str(refused.value) == told


@pytest.mark.parametrize(
    ("blade", "told"),
    [
        ("length_mm = 400", "400 mm long, has at most 450."),
        ("length_mm = 300", "at most 480 mm long, half as far again"),  # not even the strike point
        ("", "at most 480 mm long, half as far again"),
    ],
)
def test_ten_typed_for_twenty_is_asked_about_and_doubted_by_any_length(tmp_path, blade, told):
    source = open_chops(study(tmp_path, 10, blade=blade))
    (said,) = [one for one in analyse_chops(source).doubts if one.code == "inertia_beyond_bound"]
    assert told in said.text
    asked = [str(one) for one in asked_about(source)]
    assert [told in one for one in asked if "handling.B1, swings: the swings" in one] == [True]


def test_a_swing_that_can_be_is_neither_asked_about_nor_a_fault(tmp_path):
    source = open_chops(study(tmp_path))
    assert faults(tmp_path) == []
    assert not [one for one in asked_about(source) if "swings" in str(one)]
