"""The reference is as the code makes it, holds every code, command and table, and its words."""

import ast
import re
from functools import cache

import pytest

from edgetest import doubts
from edgetest.cli import root
from edgetest.store.guide_pages import FOLDER, guide_pages
from tests.guide.make_reference import due, filled
from tests.guide.measure import MOST_WORDS, handwritten
from tests.guide.reference_from_code import glossary_terms, topics
from tests.guide.reference_from_docstrings import PACKAGE
from tests.guide.tables import tables
from tests.read_code import tree_of

PAGES = guide_pages()
# Said of the guide's text and of what the app and the doubts say.
NOT_SAID = glossary_terms()["not"]


def test_the_reference_is_as_the_code_makes_it():
    """`python -m tests.guide.make_reference` writes what is due."""
    assert sorted(due()) == []


def test_every_doubt_has_its_place():
    text = PAGES["reference/doubts"].text
    assert [code for code in doubts.catalogue() if text.count(f"\n### {code}\n") != 1] == []
    assert sorted(code for codes in topics().values() for code in codes) == sorted(
        doubts.catalogue()
    )


def test_every_command_has_its_options_told():
    page = PAGES["reference/commands"]
    for name, command in root.edgetest.commands.items():
        part = page.text.split(f"\n## edgetest {name}\n")[1].split("\n## ")[0]
        options = [each for each in command.params if each.param_type_name == "option"]
        assert all(f"`{each.opts[0]}" in part or f" {each.opts[0]}" in part for each in options)
        assert "Example:" in part


def test_every_table_stands_once_among_the_figures():
    text = "".join(page.text for name, page in PAGES.items() if "reference/accuracy" in name)
    assert {name: text.count(f"\n## {page.front['title']}\n") for name, page in tables().items()} \
        == dict.fromkeys(tables(), 1)  # fmt: skip


def test_a_page_shows_a_table_where_it_asks_for_one():
    asked = "Before.\n\n<!-- table: order_table -->\n<!-- end of table -->\n\nAfter.\n"
    shown = filled(asked)
    assert "| blades, rolls |" in shown
    assert filled(shown) == shown
    assert "| blades, rolls |" not in handwritten(shown)


@cache
def sentences_of_the_app():
    """What stands in the app's own modules as text: no docstring, no single word."""
    found = []
    for path in sorted((PACKAGE / "app").rglob("*.py")):
        tree = tree_of(path)
        docstrings = {
            ast.get_docstring(node, clean=False)
            for node in ast.walk(tree)
            if isinstance(node, (ast.Module, ast.FunctionDef, ast.ClassDef))
        }
        for node in ast.walk(tree):
            text = node.value if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and " " in text and text not in docstrings:
                found.append((f"{path.name}, line {node.lineno}", text))
    return found


@pytest.mark.parametrize("word", NOT_SAID)
def test_a_word_that_the_glossary_does_not_use_is_not_used(word):
    said = re.compile(rf"(?<![\w-]){re.escape(word)}(?!\w)", re.IGNORECASE)
    by_hand = [(page.name, page.body) for page in PAGES.values() if page.kind in MOST_WORDS]
    catalogue = [(code, kind.says) for code, kind in doubts.catalogue().items()]
    found = [where for where, text in (*by_hand, *catalogue, *sentences_of_the_app())
             if said.search(text)]  # fmt: skip
    assert found == [], f"write instead: {NOT_SAID[word]}"


def test_the_glossary_names_each_word_once_and_has_no_word_that_is_not_said():
    terms = [word for topic, words in glossary_terms().items() if topic != "not" for word in words]
    assert len(terms) == len(set(terms)) >= 50
    meanings = (FOLDER / "reference" / "glossary.md").read_text(encoding="utf-8").lower()
    assert [word for word in NOT_SAID if f" {word} " in meanings] == []
