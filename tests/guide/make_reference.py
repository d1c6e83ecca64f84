"""Make the pages of edgetest/guide/reference from the code, and fill in the tables of the others.

Run: python -m tests.guide.make_reference
"""

import re

from edgetest.store.guide_pages import FOLDER, guide_pages
from tests.guide import reference_from_code, reference_from_docstrings, reference_from_tables
from tests.guide.tables import MARKDOWN_TABLE, tables

MADE = "<!-- Made by python -m tests.guide.make_reference: do not change it by hand. -->"
SLOT = re.compile(
    r"^<!-- table: (?P<name>\w+) -->\n.*?^<!-- end of table -->$", re.DOTALL | re.MULTILINE
)
MAKERS = {
    "doubts": reference_from_code.doubts,
    "commands": reference_from_code.commands,
    "formats": reference_from_code.formats,
    "protocols": reference_from_code.protocols,
    "steel_tests": reference_from_code.steel_tests,
    "questions": reference_from_code.questions_answered,
    "glossary": reference_from_code.glossary,
    "woods": reference_from_tables.woods,
    "methods": reference_from_docstrings.methods,
    "sources": reference_from_docstrings.sources,
    "notebook": reference_from_docstrings.notebook,
    **reference_from_tables.accuracy(),
}


def reference():
    """Every generated page by its name, as it should stand."""
    pages = {}
    for name, make in MAKERS.items():
        title, _, text = "\n".join(make()).partition("\n")
        pages[f"reference/{name}"] = f"{title}\n\n{MADE}\n{text.rstrip()}\n"
    return pages


def filled(text):
    """A page's text with the tables that it asks for."""
    known = {}

    def table(found):
        known.update({} if known else tables())  # read only for a page that asks for one
        (rows,) = MARKDOWN_TABLE.findall(known[found["name"]].text)
        return f"<!-- table: {found['name']} -->\n\n{rows}\n<!-- end of table -->"

    return SLOT.sub(table, text)


def due():
    """Pages that stand otherwise than they should, with the text that they should have."""
    standing = {name: page.text for name, page in guide_pages().items()}
    wanted = reference()
    for name, text in standing.items():
        if name not in wanted:
            wanted[name] = filled(text)
    stray = {name for name in standing if name.startswith("reference/")} - set(wanted)
    changed = {name: text for name, text in wanted.items() if standing.get(name) != text}
    return changed | dict.fromkeys(stray, "")


def main():
    """Write what is due."""
    for name, text in due().items():
        path = FOLDER / f"{name}.md"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        print(path)


if __name__ == "__main__":
    main()
