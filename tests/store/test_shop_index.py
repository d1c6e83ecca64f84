"""The index of a workspace: only what changed is read again; made anew where damaged."""

import os
import sqlite3

import pytest

from edgetest.errors import UnusableInput
from edgetest.store import shop_index
from edgetest.store.shop_index import (
    FACTS,
    facts_found,
    found_by_words,
    index_file,
    index_version,
    indexed_studies,
    names_alike,
    studies_of,
)


@pytest.fixture
def shop(tmp_path):
    for name in ("a", "b", "c"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "study.toml").write_text(f'title = "{name}"', encoding="utf-8")
    (tmp_path / "not_a_study").mkdir()
    return tmp_path


@pytest.fixture
def reader():
    """Reads a folder, and keeps which it read."""

    def read(folder):
        read.asked.append(folder.name)
        return {"words": f"Study {folder.name}", "size": len((folder / "study.toml").read_bytes())}

    read.asked = []
    return read


def test_only_what_changed_is_read_again(shop, reader):
    assert len(indexed_studies(shop, reader)) == 3
    indexed_studies(shop, reader)
    assert reader.asked == ["a", "b", "c"]
    (shop / "b" / "log.csv").write_text("blade,cuts\n", encoding="utf-8")
    indexed_studies(shop, reader)
    assert reader.asked == ["a", "b", "c", "b"]
    (shop / "c" / "measured.csv").write_text("made by the program", encoding="utf-8")
    indexed_studies(shop, reader)
    assert len(reader.asked) == 4


def test_a_study_that_is_gone_is_forgotten(shop, reader):
    indexed_studies(shop, reader)
    (shop / "a" / "study.toml").unlink()
    assert [each["words"] for each in indexed_studies(shop, reader)] == ["Study b", "Study c"]
    assert found_by_words(shop, ["study", "A"]) == ()


def test_another_version_of_the_program_reads_all_again(shop, reader, monkeypatch):
    indexed_studies(shop, reader)
    monkeypatch.setattr(shop_index, "program_print", lambda: "another")
    indexed_studies(shop, reader)
    assert reader.asked == list("abcabc")


@pytest.mark.parametrize(
    "damage", [b"", b"no database at all", b"SQLite format 3\0" + b"\xff" * 900]
)
def test_a_damaged_index_is_made_again(shop, reader, damage):
    before = indexed_studies(shop, reader)
    index_file(shop).write_bytes(damage)
    assert indexed_studies(shop, reader) == before


def test_reading_that_was_stopped_goes_on_where_it_was(shop, reader):
    def stop(done, total):
        assert total == 3
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        indexed_studies(shop, reader, progress=stop)
    indexed_studies(shop, reader)
    assert reader.asked == ["a", "b", "c"]


def test_words_are_found_in_any_order_and_case(shop, reader):
    indexed_studies(shop, reader)
    assert [each["words"] for each in found_by_words(shop, ["B", "STUDY"])] == ["Study b"]
    assert found_by_words(shop, ["%"]) == ()


def test_folders_are_studies_only_with_their_file(shop):
    os.rename(shop / "c", shop / ".c")
    assert [folder.name for folder in studies_of(shop)] == ["a", "b"]
    with pytest.raises(UnusableInput, match="cannot be read"):
        studies_of(shop / "nowhere")


def test_facts_are_found_without_what_was_read(tmp_path):
    steels = {"a": "Plough Disc", "b": "spring", "c": "plough disc"}
    for name in steels:
        (tmp_path / name).mkdir()
        (tmp_path / name / "study.toml").write_text("x")

    def read(folder):
        facts = dict.fromkeys(FACTS, "") | {"name": folder.name, "words": steels[folder.name]}
        return facts | {"protocol": "rope", "runs": ["much"]}

    indexed_studies(tmp_path, read)
    count, told = facts_found(tmp_path, ["PLOUGH"], 1)
    assert count == 2
    assert [each["name"] for each in told] == ["a"]
    assert set(told[0]) == set(FACTS)
    assert names_alike(tmp_path, protocol="rope", name="b") == ("b",)
    assert names_alike(tmp_path, protocol="board") == ()


def test_an_index_with_other_tables_is_made_again_on_the_disk(shop, reader, in_memory):
    file = index_file(shop)
    file.parent.mkdir(parents=True, exist_ok=True)
    old = sqlite3.connect(file)
    old.execute("create table studies (name text primary key, told text)")
    old.close()
    assert len(indexed_studies(shop, reader)) == 3
    assert in_memory == {}
    indexed_studies(shop, reader)
    assert reader.asked == ["a", "b", "c"]


@pytest.fixture
def in_memory(monkeypatch):
    """Indexes in memory of one test, closed at its end."""
    held = {}
    monkeypatch.setattr(shop_index, "_in_memory", held)
    yield held
    for index in held.values():
        index.close()


class Full(sqlite3.Connection):
    """An index on a disk that takes nothing."""

    def commit(self):
        raise sqlite3.OperationalError("database or disk is full")


@pytest.fixture
def full(monkeypatch, in_memory):
    connect = sqlite3.connect

    def open_full(place, **how):
        return connect(place, **how, **({} if place == ":memory:" else {"factory": Full}))

    monkeypatch.setattr(shop_index.sqlite3, "connect", open_full)
    return in_memory


def test_a_full_disk_takes_no_answer_away(shop, reader, full):
    assert [each["words"][-1] for each in indexed_studies(shop, reader)] == ["a", "b", "c"]
    assert reader.asked == ["a", "b", "c"]  # none was read twice
    before = index_version(shop)
    (shop / "b" / "study.toml").write_text('title = "other"', encoding="utf-8")
    assert shop_index.changed_studies(shop) == ("b",)
    assert indexed_studies(shop, reader)[1]["size"] == 15
    assert reader.asked == ["a", "b", "c", "b"]
    assert index_version(shop) != before
    assert found_by_words(shop, ["b"]) != ()
    (held,) = full.values()
    shop_index.forget_index(shop)
    held.close()
    assert found_by_words(shop, ["b"]) == ()


@pytest.mark.usefixtures("full")
def test_who_stops_on_a_full_disk_is_not_made_to_wait(shop, reader):
    def stop(done, _):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        indexed_studies(shop, reader, progress=stop)
    assert reader.asked == ["a"]


@pytest.mark.usefixtures("in_memory")
def test_a_cache_that_cannot_be_made_takes_no_answer_away(shop, reader, monkeypatch):
    (shop / "cache").write_text("a file where the folder should be", encoding="utf-8")
    monkeypatch.setenv("EDGETEST_CACHE", str(shop / "cache"))
    assert len(indexed_studies(shop, reader)) == 3
    assert indexed_studies(shop, reader)
    assert reader.asked == ["a", "b", "c"]
