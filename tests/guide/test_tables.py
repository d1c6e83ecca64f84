"""Every table of figures in the guide has its command, date and commit, and can be made again."""

import datetime
import re
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.guide import tables as making
from tests.guide.measure import sentences
from tests.guide.tables import (
    FRONT_NAMES,
    MARKDOWN_TABLE,
    TOPICS,
    commands,
    made_again,
    needs_a_hand,
    renewed,
    tables,
)

TABLES = tables()
HOUSE = Path(__file__).parents[2]


@pytest.mark.parametrize("name", TABLES)
def test_a_table_says_how_when_and_from_what_it_was_made(name):
    page = TABLES[name]
    assert tuple(page.front) == FRONT_NAMES
    assert page.front["topic"] in TOPICS
    datetime.date.fromisoformat(page.front["date"])
    assert re.fullmatch(r"[0-9a-f]{9}", page.front["commit"])
    assert len(MARKDOWN_TABLE.findall(page.text)) == 1
    assert 1 <= len(sentences(page.body)) <= 4
    for command in commands(page):
        module = re.match(r"python -m (tests\.benchmarks\.[\w.]+)( |$)", command)
        if module:
            assert find_spec(module[1]), command
        else:
            path = re.match(r"pytest (?:-m slow )?([\w/.]+)", command)
            assert path, command
            assert (HOUSE / path[1]).exists(), command


def test_a_table_is_made_again_from_what_its_command_prints():
    page = TABLES["order_table"]
    (standing,) = MARKDOWN_TABLE.findall(page.text)
    head, rule, first, *_ = standing.splitlines()
    printed = f"As asked:\n| other |\n| --- |\n| 1 |\n\n{head}\n{rule}\n{first}\n\nDone.\n"
    text = renewed(page.text, printed, "2030-01-02", "0123456789"[:9])
    assert MARKDOWN_TABLE.findall(text) == [f"{head}\n{rule}\n{first}\n"]
    assert "\ndate: 2030-01-02\ncommit: 012345678\n---" in text
    with pytest.raises(ValueError, match="no table with this head"):
        renewed(page.text, "| other |\n| --- |\n| 1 |\n", "2030-01-02", "012345678")


def test_a_command_with_a_word_to_replace_or_of_tests_needs_a_hand(capsys):
    assert needs_a_hand(TABLES["shot_words"]) == "put something for FOLDER"
    assert needs_a_hand(TABLES["bench_one_screen"]) == "the tests print no table"
    assert needs_a_hand(TABLES["order_table"]) == ""
    making.main(["--names"])
    names = capsys.readouterr().out.split()
    assert "order_table" in names
    assert {name for name in TABLES if needs_a_hand(TABLES[name])} == set(TABLES) - set(names)


def test_a_table_that_fails_does_not_keep_the_others_from_being_made(monkeypatch, tmp_path):
    page = TABLES["order_table"]
    (standing,) = MARKDOWN_TABLE.findall(page.text)
    printed = {page.front["command"]: standing}
    monkeypatch.setattr(making, "run", lambda command: printed.get(command, "nothing"))
    monkeypatch.setattr(making, "FOLDER", tmp_path)
    (tmp_path / "tables").mkdir()
    pages = [TABLES["steel_numbers"], TABLES["shot_words"], page]
    first, second, third = made_again(pages)
    assert "steel_numbers: no table with this head was printed" in first
    assert second == "shot_words: put something for FOLDER"
    assert third == ""
    assert [path.stem for path in (tmp_path / "tables").iterdir()] == ["order_table"]
