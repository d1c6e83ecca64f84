"""A log from a file that leaves out the plan's rolls is told, and filled in where that is sure."""

import pytest

from edgetest.store.logs import read_log
from edgetest.store.workspace import change_study, replace_log
from edgetest.study.bench.next_action import next_action
from edgetest.study.sources import open_source
from edgetest.study.wear.uploaded_rolls import rolls_missing, with_rolls
from tests.browser.studies import FORCE, bench_study

FILE = b"blade;cuts;sever_force_gf\nK1;0;150,5\nK2;0;160\n"
ORDER = [["roll 1", "K1"], ["roll 2", "K2"]]


def study_on_rolls(root):
    """A study whose plan lays its two blades on a roll each."""
    folder = bench_study(root, readings=(FORCE | {"repeats": 1},), stages=(0, 10))
    change_study(folder, lambda now: now.model_copy(update={"plan": {"order": ORDER}}))
    return folder


@pytest.fixture
def folder(tmp_path):
    return study_on_rolls(tmp_path)


def missing_of(folder, data):
    study = open_source(folder).study
    return rolls_missing(study, read_log(data, study=study, name="log.csv"))


def test_rolls_that_a_file_does_not_name_are_told_with_what_comes_of_it(folder):
    words = missing_of(folder, FILE).summary()
    assert "The plan has 2 rolls: roll 1 and roll 2. 2 rows of this file name none." in words
    replace_log(folder, FILE)
    again = next_action(open_source(folder))  # so it comes without them: read once more
    assert again.summary() == "Blade K1 on roll 1, read the fresh edge: 1 due"


def test_each_blade_s_roll_is_filled_in_and_nothing_else_changes(folder):
    filled = with_rolls(FILE, missing_of(folder, FILE))
    assert filled.decode().splitlines() == [
        "blade;cuts;sever_force_gf;block", "K1;0;150,5;roll 1", "K2;0;160;roll 2"
    ]  # fmt: skip
    assert missing_of(folder, filled) is None
    replace_log(folder, filled)
    assert next_action(open_source(folder)).summary() == ("Blade K1 on roll 1, cut to 10: 10 to go")


def test_a_blade_on_two_rolls_is_left_to_the_person(folder):
    plan = {"order": [*ORDER, ["roll 2", "K1"]]}
    change_study(folder, lambda now: now.model_copy(update={"plan": plan}))
    found = missing_of(folder, FILE)
    assert found.known == {"K2": "roll 2"}
    assert b"K1;0;150,5;\n" in with_rolls(FILE, found)


def test_a_roll_that_the_plan_does_not_have_is_named(folder):
    found = missing_of(folder, b"blade,block,cuts,sever_force_gf\nK1,roll 7,0,150\n")
    assert (found.unnamed, found.strange) == (0, ("roll 7",))
    assert "The plan does not know roll 7." in found.summary()


def test_a_plan_without_rolls_asks_for_none(folder):
    plan = {"order": [["", "K1"], ["", "K2"]]}
    change_study(folder, lambda now: now.model_copy(update={"plan": plan}))
    assert missing_of(folder, FILE) is None
