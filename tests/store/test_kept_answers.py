"""A kept answer equals what was kept, and nothing else is ever taken for it."""

import os
import shutil
import subprocess
import sys

import numpy as np
import pytest

from edgetest.store import kept_answers
from edgetest.store.kept_answers import (
    FOLDER_VARIABLE,
    cache_folder,
    keep_answer,
    kept_answer,
    study_print,
    worked_out_once,
)
from edgetest.store.places import shipped


@pytest.fixture(autouse=True)
def apart(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))


def only_file():
    (path,) = (cache_folder() / "answers").iterdir()
    return path


def test_an_answer_comes_back_under_its_own_key_alone():
    assert keep_answer("lives", ("study", 1), {"life": 120.5})
    assert kept_answer("lives", ("study", 1)) == {"life": 120.5}
    assert kept_answer("lives", ("study", 2)) is None
    assert kept_answer("chops", ("study", 1)) is None


def test_what_is_kept_is_not_made_again_and_all_that_decides_it_counts():
    made = []

    def answer(*parts):
        return worked_out_once("lives", parts, lambda: made.append(parts) or [len(made)])

    long = np.arange(5000.0)
    other = long.copy()
    other[2500] += 1e-9  # its repr has no middle
    assert [answer("a", long), answer("a", long), answer("a", other)] == [[1], [1], [2]]
    assert answer("b", long) == [3]
    assert len(made) == 3


def test_another_process_finds_it():
    keep_answer("lives", "a", [1.25, "µm"])
    told = subprocess.run(
        [sys.executable, "-c",
         "from edgetest.store.kept_answers import kept_answer; print(kept_answer('lives', 'a'))"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert told.stdout.strip() == "[1.25, 'µm']"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data[: len(data) // 2],
        lambda data: data[:-1] + bytes([data[-1] ^ 1]),
        lambda data: b"",
        lambda data: b"not an answer",
    ],
)
def test_a_damaged_file_is_no_answer_and_goes(spoil):
    keep_answer("lives", "a", list(range(100)))
    path = only_file()
    path.write_bytes(spoil(path.read_bytes()))
    assert kept_answer("lives", "a") is None
    assert not path.exists()
    assert keep_answer("lives", "a", [7])
    assert kept_answer("lives", "a") == [7]


def test_a_file_put_in_anothers_place_is_no_answer():
    keep_answer("lives", "a", "of a")
    first = only_file()
    data = first.read_bytes()
    first.unlink()
    keep_answer("lives", "b", "of b")
    only_file().write_bytes(data)
    assert kept_answer("lives", "b") is None


def test_another_program_finds_nothing(monkeypatch):
    keep_answer("lives", "a", 1)
    monkeypatch.setattr(kept_answers, "program_print", lambda: "another")
    assert kept_answer("lives", "a") is None


def test_the_programs_print_changes_with_one_byte_of_it(tmp_path, monkeypatch):
    before = kept_answers.program_print()
    copy = tmp_path / "program"
    shutil.copytree(kept_answers.PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(kept_answers, "PACKAGE", copy)
    kept_answers.program_print.cache_clear()
    assert kept_answers.program_print() == before
    with (copy / "wear" / "curve" / "laws.py").open("a") as file:
        file.write("\n")
    kept_answers.program_print.cache_clear()
    changed = kept_answers.program_print()
    monkeypatch.undo()
    kept_answers.program_print.cache_clear()
    assert changed != before


@pytest.mark.skipif(os.name == "nt", reason="rights of files are told otherwise there")
def test_a_file_that_others_may_write_to_is_not_read():
    keep_answer("lives", "a", 1)
    only_file().chmod(0o666)
    assert kept_answer("lives", "a") is None


def test_what_cannot_be_kept_is_only_not_kept():
    assert not keep_answer("lives", "a", lambda: 1)
    assert kept_answer("lives", "a") is None


def test_the_longest_unasked_give_way(monkeypatch):
    monkeypatch.setattr(kept_answers, "MOST_BYTES", 5_000)
    for number in range(4):
        keep_answer("lives", number, b"x" * 2_000)
        path = max((cache_folder() / "answers").iterdir(), key=lambda p: p.stat().st_ctime_ns)
        os.utime(path, ns=(number, number))
    found = [kept_answer("lives", number) is not None for number in range(4)]
    assert found == [False, False, True, True]


@pytest.fixture
def study(tmp_path):
    return shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", tmp_path / "study")


@pytest.mark.parametrize("name", ["study.toml", "chops.csv"])
def test_a_studys_print_changes_with_any_file_that_decides(study, name):
    before = study_print(study)
    with (study / name).open("a") as file:
        file.write("\n")
    assert study_print(study) != before


def test_a_photograph_with_other_content_but_the_same_name_and_size_changes_it(study):
    before = study_print(study)
    path = next((study / "photos").iterdir())
    data = bytearray(path.read_bytes())
    data[-1] ^= 1
    path.write_bytes(data)
    assert study_print(study) != before


@pytest.mark.parametrize("name", ["measured.csv", "bench.jsonl", ".typed/a.json"])
def test_what_decides_nothing_leaves_it(study, name):
    before = study_print(study)
    (study / name).parent.mkdir(exist_ok=True)
    (study / name).write_text("x", encoding="utf-8")
    assert study_print(study) == before


def test_a_copy_elsewhere_has_another(study, tmp_path):
    assert study_print(shutil.copytree(study, tmp_path / "copy")) != study_print(study)


def test_a_study_that_names_files_outside_its_folder_has_none(study):
    with (study / "study.toml").open("a") as file:
        file.write('\n[verdict]\ntables = "../tables.toml"\n')
    assert study_print(study) is None
