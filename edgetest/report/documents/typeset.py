"""From contents to a PDF/A and one self-contained HTML page; knows no occasion."""

import datetime
import json
import shutil
import tempfile
from functools import partial
from importlib.resources import files
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.report.letters import (
    LEFT_OUT,
    each_word,
    fonts_for,
    letter_files,
    printable,
    without_controls,
)

KINDS = ("pdf", "html")
PAPERS = ("a4", "us-letter")
LETTERS = "letters"
STANDARDS = ["a-2a", "ua-1"]
FILES = ("pictures", "beside")  # of Contents: bytes, no words
TEMPLATE = ("document.typ", "blocks.typ", "page.css")


def write_document(
    contents, folder, name, *, kinds=KINDS, paper="a4", timestamp=None, progress=None
):
    """Typeset contents into a folder.

    Parameters
    ----------
    contents : Contents
    folder : path-like
        Made if it is not there.
    name : str
        File name without its ending.
    kinds : sequence of {"pdf", "html"}
    paper : {"a4", "us-letter"}
    timestamp : datetime, optional
        When the document was made, for the PDF's own date; now if not given. The same
        contents and timestamp give the same bytes.
    progress : callable, optional
        Told (done, total) after each of the steps: the contents drawn, then one of each kind.

    Returns
    -------
    list of Path
        The files, in the order of `kinds`, then those that go beside them.

    Raises
    ------
    UnusableInput
        If a kind or paper is unknown.
    """
    check_wishes(kinds, paper)
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    timestamp = (timestamp or datetime.datetime.now(datetime.UTC)).replace(microsecond=0)
    tell = progress or (lambda done, total: None)
    made = []
    with tempfile.TemporaryDirectory(prefix="edgetest-document-") as bench:
        for number, kind in enumerate(kinds, 1):
            tell(number, 1 + len(kinds))
            main = _lay_out(contents, Path(bench) / kind, paper, on_paper=kind == "pdf")
            path = folder / f"{name}.{kind}"
            path.write_bytes(_compile(main, kind, timestamp))
            made.append(path)
    for file, data in contents.beside.items():
        (folder / file).write_bytes(data)
        made.append(folder / file)
    return made


def page_pictures(contents, *, paper="a4", ppi=100):
    """Every page as on paper, as PNG: for a guide, or to look at before it is printed.

    Parameters
    ----------
    contents : Contents
    paper : {"a4", "us-letter"}
    ppi : float
        Pixels an inch.

    Returns
    -------
    list of bytes
    """
    import typst

    check_wishes((), paper)
    with tempfile.TemporaryDirectory(prefix="edgetest-document-") as bench:
        main = _lay_out(contents, Path(bench), paper)
        letters = typst.Fonts(include_system_fonts=False, font_paths=[str(main.parent / LETTERS)])
        made, _ = typst.compile_with_warnings(
            str(main), root=str(main.parent), format="png", ppi=ppi, font_paths=letters
        )
    return made if isinstance(made, list) else [made]


def check_wishes(kinds, paper):
    """Refuse a kind or paper that is not known, before any work is done."""
    asked = [*((kind, "kind", KINDS) for kind in kinds), (paper, "paper", PAPERS)]
    for what, words, known in asked:
        if what not in known:
            raise UnusableInput(f'"{what}" is not known', words, f"choose {' or '.join(known)}")


def _lay_out(contents, bench, paper, *, on_paper=True):
    """Template, contents, letters and pictures in one folder; returns the main file.

    On paper a letter that no font of this machine has is left out and the foot says so; a
    browser finds letters of its own.
    """
    bench.mkdir(exist_ok=True)
    here = files("edgetest.report") / "templates"
    for part in TEMPLATE:
        (bench / part).write_bytes((here / part).read_bytes())
    (bench / LETTERS).mkdir()
    words = {key: value for key, value in vars(contents).items() if key not in FILES}
    fonts, change = (), without_controls
    if on_paper:
        said: list[str] = []
        each_word(words, said.append)
        fonts, known = fonts_for("".join(said))
        words, change = _left_out_told(words, known), partial(_on_paper, known=known)
    for path in (*letter_files(), *fonts):
        shutil.copyfile(path, bench / LETTERS / path.name)
    for file, data in contents.pictures.items():
        (bench / file).write_bytes(data)
    (bench / "contents.json").write_text(
        json.dumps(each_word({**words, "paper": paper}, change), ensure_ascii=False),
        encoding="utf-8",
    )
    return bench / "document.typ"


def _on_paper(text, known):
    return printable(text, known, LEFT_OUT)


def _left_out_told(words, known):
    """The foot of a page says what stands for letters that it cannot print."""
    said: list[str] = []
    each_word(words, said.append)
    if all(_on_paper(text, known) == without_controls(text) for text in said):
        return words
    told = f"{LEFT_OUT}: letters that no font here has; the page for browsers has them"
    return {**words, "foot": f"{words['foot']} · {told}"}


def _compile(main, kind, timestamp):
    """The bytes of one kind of document."""
    import typst

    letters = typst.Fonts(include_system_fonts=False, font_paths=[str(main.parent / LETTERS)])
    options = {"pdf_standards": STANDARDS, "timestamp": timestamp} if kind == "pdf" else {}
    data, _ = typst.compile_with_warnings(
        str(main), root=str(main.parent), format=kind, font_paths=letters, **options
    )
    return data
