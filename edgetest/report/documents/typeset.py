"""From contents to a PDF/A and one self-contained HTML page; knows no occasion."""

import datetime
import json
import re
import shutil
import tempfile
from functools import partial
from importlib.resources import files
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.report.documents.blocks import section, text
from edgetest.report.documents.drawn_pictures import least_widths, on_paper, on_screens
from edgetest.report.letters import each_word, fonts_for, letter_files, printable, without_controls
from edgetest.report.letters_told import foot_words, letters_doubts
from edgetest.store.files import write_atomic

KINDS = ("pdf", "html")
PAPERS = ("a4", "us-letter")
LETTERS = "letters"
CONTENTS = "contents.json"
STANDARDS = ["a-2a", "ua-1"]
FILES = ("pictures", "beside")  # of Contents: bytes, no words
_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=%|°[CF]|\d+/\d|(?:µm|mm|cm|m|gf|g|kg|N|HRC|Hz|s|min|h|in|oz|ft·lbf|J)\b)"
)
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
            main = _lay_out(contents, Path(bench) / kind, paper, for_paper=kind == "pdf")
            path = folder / f"{name}.{kind}"
            write_atomic(path, _compile(main, kind, timestamp))
            made.append(path)
    for file, data in contents.beside.items():
        write_atomic(folder / file, data)
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


def _lay_out(contents, bench, paper, *, for_paper=True):
    """Template, contents, letters and pictures in one folder; returns the main file.

    On paper a letter that no font of this machine has is written by its number and the foot says
    so; a browser finds letters of its own.
    """
    bench.mkdir(exist_ok=True)
    here = files("edgetest.report") / "templates"
    for part in TEMPLATE:
        (bench / part).write_bytes((here / part).read_bytes())
    (bench / LETTERS).mkdir()
    words = {key: value for key, value in vars(contents).items() if key not in FILES}
    fonts, change = (), _for_screens
    pictures = on_paper(contents.pictures) if for_paper else on_screens(contents.pictures)
    if for_paper:
        said: list[str] = []
        each_word(words, said.append)
        fonts, known = fonts_for("".join(said))
        words, change = _letters_told(words, said, known), partial(printable, known=known)
    words |= {"narrowed": sorted(pictures), "widths": least_widths(pictures), "paper": paper}
    for path in (*letter_files(), *fonts):
        shutil.copyfile(path, bench / LETTERS / path.name)
    for file, data in pictures.items():
        (bench / file).write_bytes(data)
    (bench / CONTENTS).write_text(
        json.dumps(each_word(words, change), ensure_ascii=False),
        encoding="utf-8",
    )
    return bench / "document.typ"


def _for_screens(words):
    """Words of a page for browsers: no line ends between a number and its unit."""
    return _BEFORE_UNIT.sub("\u00a0", without_controls(words))


def _letters_told(words, said, known):
    """Foot and, where there is room, a section say what stands for letters without a form."""
    foot = foot_words(said, known)
    if not foot:
        return words
    told = {**words, "foot": f"{words['foot']} · {foot}"}
    if words["sheet"] or words["boxed"]:
        return told
    sentences = [text(one.text) for one in letters_doubts(said)]
    return {**told, "sections": [*words["sections"], section("Letters", *sentences)]}


def _compile(main, kind, timestamp):
    """The bytes of one kind of document.

    A figure that floats into the midst of a list tears the structure that a reader by ear needs:
    then all figures stay where they stand.
    """
    from typst import TypstError

    try:
        return _compile_once(main, kind, timestamp)
    except TypstError as fault:
        if "structure" not in str(fault):
            raise
    contents = main.with_name(CONTENTS)
    laid = contents.read_text("utf-8")
    contents.write_text(laid.replace('"place": "float"', '"place": "flow"'), encoding="utf-8")
    return _compile_once(main, kind, timestamp)


def _compile_once(main, kind, timestamp):
    """The bytes of one kind of document as it is laid out."""
    import typst

    letters = typst.Fonts(include_system_fonts=False, font_paths=[str(main.parent / LETTERS)])
    options = {"pdf_standards": STANDARDS, "timestamp": timestamp} if kind == "pdf" else {}
    data, _ = typst.compile_with_warnings(
        str(main), root=str(main.parent), format=kind, font_paths=letters, **options
    )
    return data
