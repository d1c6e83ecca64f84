"""A forgotten stage goes into its place where others read it; cuts that may be a slip do not."""

import pytest

from edgetest.errors import ManyFaults
from edgetest.store.journal import append_reading, undo_last
from edgetest.store.log_sheet import sheet_of
from edgetest.store.logs import read_log
from edgetest.store.stage_places import place_of_stage
from tests.store import log_text, rope_study

BY_STAGE = """blade,cuts,station_mm,edge_width_um
K1,0,20,1.5
K1,0,40,1.5
K1,50,20,5.0
K1,100,20,8.0
K1,100,40,8.1
K2,50,20,5.1
K2,100,20,8.3
"""
BY_STATION = """blade,cuts,station_mm,check_no,edge_width_um
K1,0,20,,1.5
K1,50,20,,5
K1,100,20,,8
K1,0,40,1,1.5
K1,100,40,1,8.1
"""


LEFT_OUT = """blade,cuts,station_mm,edge_width_um,exclude
K1,50,20,5,
K1,150,20,9,hit a nail
K2,100,20,8,
"""
WAITING = """blade,cuts,station_mm,edge_width_um,exclude
K1,0,20,1.5,sharpened again
K1,100,20,8,sharpened again
K2,0,20,1.5,
K2,150,20,9,
K1,150,20,,
K1,150,40,,
K1,200,20,,
K1,200,40,,
"""


def row(cuts, station="40", blade="K1", **more):
    return {"blade": blade, "cuts": str(cuts), "station_mm": station, "edge_width_um": "5,2"} | more


@pytest.mark.parametrize(
    ("log", "new", "above"),
    [
        (BY_STAGE, row(50), 5),  # behind the other reading of that stage
        (BY_STATION, row("50.0", "40.0"), 6),
        (BY_STAGE, row(0, "20", "K2"), 7),  # a fresh edge, above the blade's first row
        (BY_STAGE, row(150), None),
        (BY_STAGE, row(10), None),  # read nowhere: a slip, or a stage of its own
        (BY_STAGE, row(50, "60"), None),  # a station that was never read
        (BY_STAGE, row(50, block="roll 2"), None),
        (BY_STAGE, row(50, exclude="slipped"), None),
        (BY_STAGE, row(50, check_no="2"), None),
        (BY_STAGE, row("fifty"), None),
        (WAITING, row(170), 8),  # a stage of its own, above those that wait
        (WAITING, row(0), 6),  # a run that began again
        (WAITING, row(250), None),
        (WAITING, row(50, blade="K2"), None),
        (WAITING, row(170, exclude="slipped"), None),
        (LEFT_OUT, row(100, "20"), None),  # what was left out has no say
        (BY_STAGE.replace("50,20,5.0", "50,20,").replace("50,20,5.1", "50,20,"), row(50), None),
    ],
)
def test_a_stage_that_others_read_has_its_place(tmp_path, log, new, above):
    assert place_of_stage(sheet_of(log.encode(), tmp_path / "log.csv"), new) == above


@pytest.fixture
def study(tmp_path):
    made = rope_study(tmp_path)
    (made.folder / "log.csv").write_text(BY_STAGE, encoding="utf-8")
    return made


def test_a_forgotten_stage_that_is_entered_stands_in_its_place_and_can_be_taken_back(study):
    change = append_reading(study.folder, row(50), doubled="refused")
    assert change.row == 5
    assert log_text(study).splitlines()[4] == "K1,50,40,5.2"
    assert read_log(study.folder / "log.csv", study=study).faults == ()
    append_reading(study.folder, row(0, "20", "K2"), doubled="refused")  # moves no earlier row
    undo_last(study.folder)
    assert undo_last(study.folder).row == 5
    assert log_text(study) == BY_STAGE


def test_a_stage_that_nobody_asked_for_stands_above_those_that_wait(study):
    template = BY_STAGE + "K2,150,20,\nK2,200,20,\n"
    (study.folder / "log.csv").write_text(template, encoding="utf-8")
    for cuts, width, place in ((130, "8,9", 9), (200, "11", 11)):
        new = row(cuts, "20", "K2", edge_width_um=width)
        assert append_reading(study.folder, new, doubled="refused").row == place
    assert log_text(study).splitlines()[8:] == ["K2,130,20,8.9", "K2,150,20,", "K2,200,20,11"]
    assert read_log(study.folder / "log.csv", study=study).faults == ()


def test_cuts_that_nobody_else_read_are_refused_behind_later_ones(study):
    with pytest.raises(ManyFaults, match="nothing else was read at these cuts: check blade, cuts"):
        append_reading(study.folder, row(10), doubled="refused")
    assert log_text(study) == BY_STAGE
