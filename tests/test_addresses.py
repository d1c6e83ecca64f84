"""Every file and name that README, DEVELOPERS and the guide send a reader to is there."""

import re
from importlib import import_module
from pathlib import Path

import pytest

from edgetest.store.protocol import ReadingRule

HOUSE = Path(__file__).parent.parent
PAGES = [HOUSE / "README.md", HOUSE / "DEVELOPERS.md", *(HOUSE / "edgetest/guide").rglob("*.md")]
PATH = re.compile(r"(?<![\w/.<>-])(?:tests|edgetest|sample_runs|protocols)/[\w./*-]*[\w*/]")
MODULE = re.compile(r"`([a-z]\w*/[\w/]+\.(?:py|toml|typ))`")  # said from edgetest/, as in a room
NAME = re.compile(r"(?<![\w/.-])edgetest(?:\.[a-z_]\w*)+", re.IGNORECASE)


def is_there(path):
    return any(next(root.glob(path), None) for root in (HOUSE, HOUSE / "edgetest"))


def has_name(dotted):
    """Whether a dotted name leads to a module or to what a module holds."""
    first, *rest = dotted.split(".")
    found = import_module(first)
    for done, part in enumerate(rest, 1):
        if not hasattr(found, part):
            try:
                import_module(".".join([first, *rest[:done]]))
            except ImportError:
                return False
        found = getattr(found, part)
    return True


@pytest.mark.parametrize("page", PAGES, ids=lambda page: f"{page.parent.name}/{page.name}")
def test_every_address_of_a_page_leads_somewhere(page):
    text = page.read_text(encoding="utf-8")
    paths = {*PATH.findall(text), *MODULE.findall(text)}
    assert [path for path in sorted(paths) if not is_there(path)] == []
    assert [name for name in sorted(set(NAME.findall(text))) if not has_name(name)] == []


def test_the_recipe_of_a_reading_names_every_key_that_must_be_there():
    text = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")
    recipe = text.split("**A reading")[1].split("\n\n")[0]
    needed = {name for name, key in ReadingRule.model_fields.items() if key.is_required()}
    assert {f"`{name}`" for name in {*needed, "unit"}} <= set(re.findall(r"`\w+`", recipe))


def test_an_address_that_leads_nowhere_is_seen():
    stale = "`pytest tests/report/test_look.py`, `store/nothing.py`, `edgetest.store.nothing.read`"
    assert not any(map(is_there, [*PATH.findall(stale), *MODULE.findall(stale)]))
    assert len([*PATH.findall(stale), *MODULE.findall(stale)]) == 2
    assert [has_name(name) for name in NAME.findall(stale)] == [False]
