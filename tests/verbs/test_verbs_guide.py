"""The guide's chapter for notebooks: its code is run in order and prints what stands under it."""

import contextlib
import io
import re
from pathlib import Path

import pytest

import edgetest

pytestmark = pytest.mark.usefixtures("measured_copies")

CHAPTER = Path(edgetest.__file__).parent / "guide" / "reference" / "notebook.md"
BLOCK = re.compile(r"```python\n(?P<code>.*?)```\n(?:```text\n(?P<prints>.*?)```\n)?", re.DOTALL)


def printed():
    """What each block of the chapter says that it prints, and what it does."""
    names = {}
    for block in BLOCK.finditer(CHAPTER.read_text(encoding="utf-8")):
        shown = io.StringIO()
        with contextlib.redirect_stdout(shown):
            exec(compile(block["code"], CHAPTER.name, "exec"), names)
        yield block, block["prints"] or "", shown.getvalue()


def test_every_block_prints_what_stands_under_it():
    blocks = list(printed())
    assert len(blocks) > 8
    for block, told, shown in blocks:
        assert shown == told, block["code"]
