"""Pages of the reference that are said in docstrings: methods, sources, verbs of a notebook."""

import ast
import inspect
import re
from functools import cache
from pathlib import Path

import edgetest
from tests.read_code import tree_of

PACKAGE = Path(edgetest.__file__).parent
TESTS = PACKAGE.parent / "tests"
PARTIALS = Path(__file__).parent / "partials"
ROOMS = {
    "stats": "Statistics that several rooms need",
    "wear": "Wear, lives, comparison, plan",
    "photo": "Photographs",
    "chop": "Chopping",
    "steel": "Steel",
}
# What makes a docstring name its source: a year in print, a standard, or that there is none.
NAMES_A_SOURCE = re.compile(
    r"\b1[89]\d\d\b|\b20[012]\d\b|\bISO\b|\bASTM\b|from memory|no source|textbook"
)
SECTION = re.compile(r"^([A-Z][a-z]+)\n-{3,}\n", re.MULTILINE)
KEPT_SECTIONS = ("Notes", "References")
FUNCTION = (ast.FunctionDef, ast.ClassDef)


def parts_of(docstring):
    """What a docstring says before its sections, and its sections by name."""
    before, *rest = SECTION.split(docstring)
    return before.strip(), dict(zip(rest[::2], map(str.strip, rest[1::2]), strict=True))


@cache
def documented():
    """Public functions and classes that name a source: room, module, name, docstring."""
    found = []
    for room in ROOMS:
        for path in sorted((PACKAGE / room).rglob("*.py")):
            module = path.relative_to(PACKAGE).with_suffix("").as_posix()
            tree = tree_of(path)
            for node in (tree, *(x for x in tree.body if isinstance(x, FUNCTION))):
                name = getattr(node, "name", "")
                docstring = ast.get_docstring(node) or ""
                if NAMES_A_SOURCE.search(docstring) and not name.startswith("_"):
                    found.append((room, module.removesuffix("/__init__"), name, docstring))
    return found


def methods():
    """Each method whose source is named where it is worked out."""
    yield "# Methods, with their formulas and sources"
    yield ""
    yield "Collected from the program's own text: each part whose method or source is in print,"
    yield "or that says that it has none. The place is the file in which it is worked out."
    for room, title in ROOMS.items():
        yield from ("", f"## {title}")
        for of_room, module, name, docstring in documented():
            if of_room == room:
                yield from _method(module, name, docstring)
    for topic in ("photographs", "chopping", "steel"):
        yield from ("", (PARTIALS / f"methods_{topic}.md").read_text(encoding="utf-8").strip())


def _method(module, name, docstring):
    before, sections = parts_of(docstring)
    first, _, more = before.partition("\n")
    file = module.rpartition("/")[2]
    yield from ("", f"### {file if name in ('', file) else f'{file}: {name}'}", "")
    yield f"{first} (`{module}.py`)"
    if more.strip():
        yield from ("", as_markdown(more))
    for section in KEPT_SECTIONS:
        if section in sections:
            text = re.sub(r"^\.\. \[(\d+)\] ", r"- [\1] ", sections[section], flags=re.MULTILINE)
            yield from ("", as_markdown(re.sub(r"\n +", " ", text)))


def as_markdown(text):
    """A docstring's text as Markdown: what is set in after `::` is a formula or an example."""
    text = inspect.cleandoc(text)
    text = re.sub(r"``([^`]+)``", r"`\1`", text)
    text = re.sub(r" ?\[(\d+)\]_", r" [\1]", text)
    return re.sub(r"::\n\n((?:    .*(?:\n|$)|\n)+)", _block, text).strip()


def _block(found):
    return f":\n\n```text\n{inspect.cleandoc(found[1])}\n```\n\n"


def sources():
    """Where the protocols come from, and what the tests hold the program to."""
    yield (PARTIALS / "sources.md").read_text(encoding="utf-8").strip()
    yield from ("", "## Published numbers that the program is held to", "")
    yield "Each is checked whenever the tests run. *From memory* is said where a copy was not read."
    for path in sorted((TESTS / "reference").glob("test_*.py")):
        docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
        first, _, more = docstring.partition("\n")
        yield from ("", f"### {first.rstrip('.')}", "", as_markdown(more), "")
        yield f"Checked in `tests/reference/{path.name}`."


def notebook():
    """The verbs of a notebook, and the chapter whose code is run."""
    yield (PARTIALS / "notebook.md").read_text(encoding="utf-8").strip()
    yield from ("", "## Every verb")
    for name in edgetest.__all__:
        verb = getattr(edgetest, name)
        if inspect.isclass(verb):
            continue
        before, sections = parts_of(inspect.getdoc(verb))
        signature = re.sub(r"'([^']*)'", r"\1", str(inspect.signature(verb)))
        yield from ("", f"### {name}", "", f"```text\net.{name}{signature}\n```", "")
        yield as_markdown(before)
        for section in ("Parameters", "Returns"):
            if section in sections:
                yield from ("", f"{section}:", "", *_fields(sections[section]))


def _fields(text):
    """A section of names and their meaning as a list."""
    for found in re.finditer(r"^(\S.*)\n((?:    .*\n?)*)", text + "\n", re.MULTILINE):
        meaning = " ".join(found[2].split())
        yield f"- `{found[1]}`{f': {meaning}' if meaning else ''}"
