import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_steel_study
from edgetest.study.sources import open_chops, open_source
from edgetest.study.study_state import state_of_source

STUDY = """
title = "A study"
protocol = "billet_chop"
[[blades]]
id = "K1"
angle_per_side_deg = 20
"""
ROWS = "blade,kind,order,chops,width_mm,thickness_mm\nK1,billet,1,20,50,50\n"


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    return tmp_path


def test_a_chop_test_is_the_same_source_by_either_door(folder):
    (folder / "chops.csv").write_text(ROWS, encoding="utf-8")
    one, other = open_source(folder), open_chops(folder / "study.toml")
    assert one.chops == other.chops
    assert one.title == other.title == "A study"
    assert one.photos_folder == other.photos_folder == folder / "photos"
    assert one.chop_test
    assert other.chop_test


def test_a_chop_log_on_its_own_needs_no_study(folder):
    path = folder / "alone.csv"
    path.write_text(ROWS, encoding="utf-8")
    for source in (open_source(path), open_chops(path)):
        assert source.study is None
        assert source.chops.blades() == ("K1",)
        assert source.photos_folder == folder / "photos"


def test_a_study_without_chops_is_refused_in_the_same_words(folder):
    with pytest.raises(UnusableInput, match="there is no chops") as by_chops:
        open_chops(folder)
    with pytest.raises(UnusableInput, match="there is no chops") as by_study:
        open_source(folder)
    assert str(by_chops.value) == str(by_study.value)


def test_a_tool_that_is_only_weighed_has_an_empty_chop_log(folder):
    handling = "[handling]\ngrip_mm = 60\nstrike_mm = 250\n"
    (folder / "study.toml").write_text(STUDY + handling, encoding="utf-8")
    assert open_chops(folder).chops.rows == ()
    assert open_source(folder).chops is None


def test_a_name_that_is_not_there_is_refused(tmp_path):
    for opened in (open_source, open_chops):
        with pytest.raises(UnusableInput, match="there is no such file or folder"):
            opened(tmp_path / "nowhere")


def test_a_chop_log_without_its_kinds_is_one_to_either_door(tmp_path):
    path = tmp_path / "short.csv"
    path.write_text("blade,chops,hatch\nK1,many,3\n", encoding="utf-8")
    one, other = open_source(path), open_chops(path)
    assert [str(fault) for fault in one.faults] == [str(fault) for fault in other.faults]
    assert len(one.faults) == 2
    assert one.chop_test


def test_a_log_of_cuts_is_no_chop_log(tmp_path):
    path = tmp_path / "cuts.csv"
    path.write_text("blade,cuts,edge_width_um\nK1,0,3\n", encoding="utf-8")
    with pytest.raises(UnusableInput) as fault:
        open_chops(path)
    assert str(fault.value) == (
        "cuts.csv: is a log of cuts, not of chops; "
        "give a log with the columns kind and chops, or fit this one"
    )


def test_a_study_of_a_steel_opens_without_a_log(tmp_path):
    new_steel_study(tmp_path / "discs", "Old discs", use="knife")
    source = open_source(tmp_path / "discs")
    assert source.log.rows == ()
    assert state_of_source(source).next == "steel"
