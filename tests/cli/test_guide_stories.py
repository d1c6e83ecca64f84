"""The stories of the guide run from an empty folder, command by command, as they are printed.

What the maker does between two commands stands in `WORK`, once, before the first command of that
name; it comes from the sample runs (invented data).
"""

import re
import shlex
from pathlib import Path

import pytest

import edgetest

START = Path(edgetest.__file__).parent / "guide" / "start"
BLOCK = re.compile(r"^```sh\n(.*?)^```", re.DOTALL | re.MULTILINE)
CSV = re.compile(r"^```csv\n(.*?)^```", re.DOTALL | re.MULTILINE)
TOLD = re.compile(r"^```text\n(.*?)^```", re.DOTALL | re.MULTILINE)
COMPARED = "compare_two_heat_treatments"


def read_by_hand(folder):
    """The readings that the page gives, in place of the empty log."""
    text = (START / f"{COMPARED}.md").read_text(encoding="utf-8")
    (folder / "log.csv").write_text(CSV.search(text)[1], encoding="utf-8")


WORK = {(COMPARED, "check"): read_by_hand}  # (page, command): function of the study's folder
ENDS = {
    COMPARED: "temper_test/documents/comparison.pdf",
    "document_a_chopper": "my_hatchet/documents/chopper_H1.pdf",
    "judge_a_mystery_steel": "my_discs/documents/verdict.pdf",
}


def commands(page):
    """Every command of a page, as words, without comments."""
    text = (START / f"{page}.md").read_text(encoding="utf-8")
    lines = "".join(BLOCK.findall(text)).splitlines()
    return [shlex.split(line, comments=True) for line in lines if line.strip()]


@pytest.mark.parametrize("page", ENDS)
def test_a_story_ends_at_its_document(page, run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    waiting = {command: work for (story, command), work in WORK.items() if story == page}
    printed = ""
    for program, verb, *rest in commands(page):
        assert program == "edgetest"
        if verb in waiting:
            waiting.pop(verb)(Path(rest[0]))
        code, out, err = run(verb, *rest)
        assert code == 0, f"edgetest {verb} {shlex.join(rest)}: {err}"
        printed += out
    assert not waiting
    text = (START / f"{page}.md").read_text(encoding="utf-8")
    assert [told for told in TOLD.findall(text) if told.strip() not in printed] == []
    assert Path(ENDS[page]).read_bytes().startswith(b"%PDF")


def test_every_story_has_an_end_and_takes_more_than_one_command():
    told = {path.stem for path in START.glob("*.md") if "```sh" in path.read_text(encoding="utf-8")}
    assert set(ENDS) == told
    assert all(len(commands(page)) > 3 for page in told)
