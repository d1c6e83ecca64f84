"""A bracket that ends at a file of no such set is asked about."""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.asked_of_steel import asked_of_steel
from edgetest.study.steel.files_asked import files_asked
from edgetest.study.steel.steel_rows import SteelRows


def asked(cell, **of):
    rows = SteelRows(heats=({"coupon": "1", "hardness_below": cell},), **of)
    return list(files_asked(rows))


def test_a_file_that_nobody_has_is_asked_about_at_its_place():
    (found,) = asked("60-63")
    assert found.where == "study.toml, evidence, heats 1, hardness_below"
    assert found.what == ('"60-63" ends at 63, and the files are 40, 45, 50, 55, 60 and 65')
    (temper,) = files_asked(SteelRows(tempers=({"coupon": "1", "hardness": ["55-60", ">62"]},)))
    assert "tempers 1, hardness" in temper.where
    assert '">62" ends at 62' in temper.what


def test_a_study_is_asked_so():
    heat = {"coupon": "1", "hardness_below": "60-63"}
    study = SimpleNamespace(evidence={"heats": [heat]}, blades=(), verdict=None)
    assert [one.where.rpartition(", ")[2] for one in asked_of_steel(study)] == ["hardness_below"]


@pytest.mark.parametrize("cell", ["60-65", ">65", "<40", "skates all", 61, "58 HRC", "700 HV"])
def test_files_of_the_set_and_a_tester_s_number_are_not(cell):
    assert asked(cell) == []


def test_the_set_is_the_maker_s_own():
    assert asked("58-63", files_hrc=(53.0, 58.0, 63.0)) == []
    assert len(asked("60-65", files_hrc=(53.0, 58.0, 63.0))) == 1


NAMED = {"files_hrc": (40.0, 50.0, 60.0, 65.0)}


def test_the_number_of_a_file_is_asked_about_where_files_alone_are_named():
    (found,) = asked(60.0, **NAMED)
    assert found.where == "study.toml, evidence, heats 1, hardness_below"
    assert "60 alone is taken as a tester's number" in found.what
    assert '"60-65"' in found.mend
    (top,) = asked(65.0, **NAMED)
    assert '">65"' in top.mend


def test_a_number_of_no_file_or_of_a_named_tester_is_not():
    assert asked(61.0, **NAMED) == []
    assert asked(60.0, tester_u_hrc=1.0, **NAMED) == []
    assert asked(60.0) == []  # nobody named files
