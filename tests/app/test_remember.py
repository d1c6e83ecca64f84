"""A kept answer equals a fresh one, and a new start takes it from disk instead of making it."""

import shutil
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app import remember
from edgetest.store.kept_answers import FOLDER_VARIABLE, cache_folder
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops, open_source
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))

    def copy(name):
        return Path(shutil.copytree(shipped("sample_runs") / name, tmp_path / name))

    return copy


def page(folder, make, found):
    from edgetest.app.remember import answered

    found.append(answered("kind", folder, "version", "asked", make, "Working"))


def ask(folder, make):
    """The answer as a page gets it."""
    found = []
    shown = AppTest.from_function(page, args=(folder, make, found), default_timeout=60).run()
    assert not shown.exception
    return found[-1]


def new_start():
    remember._shelf("kind").clear()


ANSWERS = {
    "camp_hatchet_study": lambda folder: analyse_chops(open_chops(folder)),
    "plough_disc_study": lambda folder: comparison_of(open_source(folder), AnalysisOptions()),
    "harrow_tine_study": lambda folder: judge_steel(folder),
}


@pytest.mark.parametrize("name", ANSWERS)
def test_a_kept_answer_equals_a_fresh_one(run, name):
    folder, made = run(name), []

    def make(report):
        made.append(1)
        return ANSWERS[name](folder)

    fresh = ask(folder, make)
    assert ask(folder, make) is fresh
    new_start()
    kept = ask(folder, make)
    assert kept is not fresh
    assert kept.to_dict() == fresh.to_dict()
    assert made == [1]


def test_a_damaged_one_is_made_again_and_kept_again(run):
    folder, made = run("harrow_tine_study"), []

    def make(report):
        made.append(1)
        return "answer"

    assert ask(folder, make) == "answer"
    (path,) = (cache_folder() / "answers").iterdir()
    path.write_bytes(path.read_bytes()[:-1])
    for _ in range(2):
        new_start()
        assert ask(folder, make) == "answer"
    assert made == [1, 1]


def test_a_study_that_changes_while_it_is_read_is_not_kept(run):
    folder = run("harrow_tine_study")

    def make(report):
        with (folder / "study.toml").open("a") as file:
            file.write("\n")
        return "of what was"

    assert ask(folder, make) == "of what was"
    assert not cache_folder().exists()
