"""The guide's pages for notebooks: their code is run in order and prints what stands under it."""

import contextlib
import io
import re
from pathlib import Path

import pytest

import edgetest

pytestmark = pytest.mark.usefixtures("measured_copies", "untypeset")

GUIDE = Path(edgetest.__file__).parent / "guide"
BLOCK = re.compile(r"```python\n(?P<code>.*?)```\n(?:```text\n(?P<prints>.*?)```\n)?", re.DOTALL)


def printed(page):
    """What each block of the page says that it prints, and what it does."""
    names = {}
    for block in BLOCK.finditer(page.read_text(encoding="utf-8")):
        shown = io.StringIO()
        with contextlib.redirect_stdout(shown):
            exec(compile(block["code"], page.name, "exec"), names)
        yield block, block["prints"] or "", shown.getvalue()


@pytest.mark.parametrize(
    ("page", "least"), [("reference/notebook", 9), ("how_to/use_a_notebook", 5)]
)
def test_every_block_prints_what_stands_under_it(page, least):
    blocks = list(printed(GUIDE / f"{page}.md"))
    assert len(blocks) >= least
    for block, told, shown in blocks:
        assert shown == told, block["code"]
