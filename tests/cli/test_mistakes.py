"""Does each of the mistakes in mistakes.toml get a message that names place and right mend?"""

import shlex
import shutil
import tomllib
from pathlib import Path

import numpy as np
import openpyxl
import pytest
from PIL import Image

TABLE = tomllib.loads((Path(__file__).parent / "mistakes.toml").read_text(encoding="utf-8"))
MISTAKES = TABLE["mistake"]
LONG = {"{digits}": "1" * 5001, "{brackets}": "[" * 400 + "]" * 400}
NEVER = ("Traceback", "fault of the program", "Errno", "object at 0x")
LONGEST = 700  # letters of one fault: a cell of 5,001 digits is shortened, not printed
FAULTS = 2  # a mistake made once is told once, or once with what follows from it


def land(shape):
    """Draw a bright band across a dark field."""
    picture = np.full(shape, 40, np.uint8)
    picture[shape[0] // 2 - 8 : shape[0] // 2 + 8] = 220
    return picture


def put_picture(path, kind):
    """Write a picture of a kind: whole, cut off, no picture at all."""
    path.parent.mkdir(exist_ok=True)
    if kind in ("text", "empty"):
        path.write_text("not a picture" if kind == "text" else "")
        return
    shapes = {"tiny": (12, 12), "small land": (120, 160)}
    pixels = land(shapes.get(kind, (240, 320)))
    if kind in ("float", "int32"):
        pixels = pixels.astype(np.float32 if kind == "float" else np.int32)
    Image.fromarray(pixels).save(path)
    if kind == "cut":
        path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def put_workbook(path, mistake, text):
    """Write the rows of a log as a workbook, changed as the mistake says."""
    book = openpyxl.Workbook()
    rows = [line.split(",") for line in text.strip().splitlines()]
    sheets = [book.active, *(book.create_sheet() for _ in mistake.get("sheets", ["log"])[1:])]
    for sheet, name in zip(sheets, mistake.get("sheets", ["log"]), strict=False):
        sheet.title = name
        for row in rows:
            sheet.append([number_or_text(cell) for cell in row])
    for place, value in mistake.get("cells", {}).items():
        book.active[place] = value
    book.save(path)


def number_or_text(cell):
    """Type a cell as a spreadsheet does."""
    try:
        return float(cell)
    except ValueError:
        return cell or None


def make(mistake, here):
    """Lay out the study of a mistake, with the mistake made in it."""
    for name in mistake.get("folders", []):
        (here / mistake.get("study", "") / name).mkdir(parents=True)
    if "study" not in mistake:
        return
    folder = here / mistake["study"]
    folder.mkdir(exist_ok=True)
    files = TABLE["studies"][mistake["study"]]
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    for name, kind in mistake.get("pictures", {}).items():
        put_picture(folder / name, kind)
    if "extra" in mistake:
        (folder / mistake["extra"]).write_text(mistake["text"], encoding="utf-8")
    if "file" in mistake:
        change(folder, mistake, files)


def change(folder, mistake, files):
    """Change the one file that the mistake is in."""
    path = folder / mistake["file"]
    text = mistake.get("text", files.get(mistake["file"], files.get("log.csv")))
    if "swap" in mistake:
        old, new = mistake["swap"]
        assert old in text, f"not in {path.name}: {old}"
        for word, long in LONG.items():
            new = new.replace(word, long)
        text = text.replace(old, new, 1)
    if mistake.get("lone"):
        (folder / "log.csv").unlink()
    if mistake.get("workbook"):
        path.unlink(missing_ok=True)
        put_workbook(path.with_suffix(".xlsx"), mistake, text)
        path.with_suffix(".xlsx").rename(path)
        return
    encoding = "cp1252" if mistake.get("latin") else "utf-16" if mistake.get("utf16") else "utf-8"
    path.write_bytes(text.encode(encoding))
    if mistake.get("gone") or mistake.get("folder"):
        path.unlink()
    if mistake.get("folder"):
        path.mkdir()
    if "renamed" in mistake:
        shutil.move(path, folder / mistake["renamed"])


def missing(mistake, told):
    """Words that a message lacks."""
    return [
        words
        for words in mistake["says"]
        if not any(word.strip().casefold() in told.casefold() for word in words.split(" | "))
    ]


def faults_in(out, err):
    """The lines that tell a fault: `check` answers with them, other commands say them."""
    told = [line for line in err.splitlines() if line.strip()]
    return told or [line for line in out.splitlines() if line.startswith("fault: ")]


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake["did"])
def test_the_message_names_place_and_mend(mistake, run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    make(mistake, tmp_path)
    command = mistake["command"].replace("{study}", mistake.get("study", ""))
    code, out, err = run(*shlex.split(command))
    told = f"{out}\n{err}"  # `check` answers with the faults; other commands tell them
    assert code == mistake.get("code", 2), told[:2000]
    assert missing(mistake, told) == [], told[:2000]
    assert [word for word in (*NEVER, *mistake.get("never", ())) if word in told] == [], told[:2000]
    if code:
        lines = faults_in(out, err)
        assert len(lines) <= mistake.get("lines", FAULTS), told[:3000]
        assert max(map(len, lines)) < LONGEST, told[:3000]


def test_the_table_holds_two_hundred_mistakes():
    assert len({mistake["did"] for mistake in MISTAKES}) >= 200
