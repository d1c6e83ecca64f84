"""The list of a folder's studies: each file read once, the index never believed against it."""

import os
import time

import pytest

from edgetest.errors import UnusableInput
from edgetest.store import study_list
from edgetest.store.shop_index import index_file
from edgetest.store.study_list import MANY, list_studies


def study(folder, title, blades="A1"):
    folder.mkdir(exist_ok=True)
    text = f'title = "{title}"\nprotocol = "sisal_rope"\n[[blades]]\nid = "{blades}"\n'
    (folder / "study.toml").write_text(text, encoding="utf-8")


@pytest.fixture
def many(tmp_path):
    for number in range(MANY + 5):
        study(tmp_path / f"s{number:03d}", f"Study {number}")
    return tmp_path


def forget():
    """As a new start of the program."""
    study_list._read.clear()


@pytest.fixture
def loads(monkeypatch):
    """Names of the folders whose file was read."""
    read, load = [], study_list.load_study

    def counted(folder):
        read.append(folder.name)
        return load(folder)

    monkeypatch.setattr(study_list, "load_study", counted)
    return read


def test_a_file_is_read_once_in_all_starts(many, loads):
    first = list_studies(many)
    assert len(loads) == len(first) == MANY + 5
    forget()
    assert list_studies(many) == first
    assert len(loads) == MANY + 5


def test_a_changed_file_is_read_again(many, loads):
    list_studies(many)
    study(many / "s003", "Another title")
    forget()
    entries = {entry.folder.name: entry for entry in list_studies(many)}
    assert entries["s003"].title == "Another title"
    assert loads[-1:] == ["s003"]
    assert len(loads) == MANY + 6


def test_a_broken_study_is_listed_with_its_fault_and_mended(many):
    (many / "s004" / "study.toml").write_text("title = ", encoding="utf-8")
    for _ in range(2):
        forget()
        (broken,) = [entry for entry in list_studies(many) if entry.fault]
        assert broken.folder.name == "s004"
    study(many / "s004", "Mended")
    assert not [entry for entry in list_studies(many) if entry.fault]


def test_a_damaged_index_is_made_again(many):
    first = list_studies(many)
    index_file(many).write_bytes(b"SQLite format 3\0" + b"\xff" * 500)
    forget()
    assert list_studies(many) == first


def test_a_folder_that_moved_takes_nothing_from_another(many, tmp_path):
    list_studies(many)
    stamp = (many / "s001" / "study.toml").stat()
    os.rename(many / "s001", many / "zz")
    study(many / "s001", "New here!")
    os.utime(many / "s001" / "study.toml", ns=(time.time_ns(), stamp.st_mtime_ns + 1))
    forget()
    titles = {entry.folder.name: entry.title for entry in list_studies(many)}
    assert titles["zz"] == "Study 1"
    assert titles["s001"] == "New here!"


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(UnusableInput, match="no such folder"):
        list_studies(tmp_path / "nowhere")
