"""Make a table of the guide again: run the command that it names, take the table of its head.

Run: python -m tests.guide.tables            (lists every table with its command and date)
     python -m tests.guide.tables NAME ...   (runs the commands and writes the tables anew)
"""

import datetime
import re
import shlex
import subprocess
import sys

from edgetest.store.guide_pages import FOLDER, FRONT, guide_pages

TOPICS = ("wear", "planning", "photographs", "side views", "chopping", "steel", "program")
FRONT_NAMES = ("title", "topic", "command", "date", "commit")
MARKDOWN_TABLE = re.compile(r"^\|.*\n\|[ :|-]+\|\n(?:\|.*(?:\n|\Z))*", re.MULTILINE)
ASIDE = " ; "  # between two commands of one table


def tables():
    """Every table of figures by its name."""
    return {
        page.name.removeprefix("tables/"): page
        for page in guide_pages().values()
        if page.kind == "tables"
    }


def commands(page):
    """The commands that made a table, in their order, as they are typed."""
    return page.front["command"].split(ASIDE)


def head_of(table):
    """Head of a Markdown table, without what only sets its width."""
    return [cell.strip() for cell in table.splitlines()[0].strip("|").split("|")]


def renewed(text, printed, date, commit):
    """A table's file with the rows that its commands printed, today's date and commit.

    Raises
    ------
    ValueError
        If nothing that was printed has the head of the table that stands in the file.
    """
    (standing,) = MARKDOWN_TABLE.findall(text)
    found = [new for new in MARKDOWN_TABLE.findall(printed) if head_of(new) == head_of(standing)]
    if not found:
        raise ValueError("no table with this head was printed; set it by hand from the output")
    rows = [row for table in found[1:] for row in table.splitlines()[2:]]
    new = "\n".join([*found[0].splitlines(), *rows]) + "\n"
    front = FRONT.match(text)[0]
    dated = re.sub(r"^date: .*$", f"date: {date}", front, flags=re.MULTILINE)
    dated = re.sub(r"^commit: .*$", f"commit: {commit}", dated, flags=re.MULTILINE)
    return text.replace(standing, new).replace(front, dated)


def run(command):
    """What a command prints; it must end well."""
    words = shlex.split(command)
    if words[0] == "python":
        words[0] = sys.executable
    elif words[0] == "pytest":
        words[:1] = [sys.executable, "-m", "pytest"]
    return subprocess.run(words, check=True, stdout=subprocess.PIPE, text=True).stdout


def main(names):
    """List the tables, or make some again."""
    known = tables()
    if not names:
        for name, page in known.items():
            print(f"{page.front['date']}  {name:28} {page.front['command']}")
        return
    if unknown := set(names) - set(known):
        sys.exit(f"no such table: {', '.join(sorted(unknown))}")
    commit = subprocess.run(
        ["git", "rev-parse", "--short=9", "HEAD"], check=True, stdout=subprocess.PIPE, text=True
    ).stdout.strip()
    printed = {}
    for name in names:
        page = known[name]
        for command in commands(page):
            if command not in printed:
                printed[command] = run(command)
        output = "\n".join(printed[command] for command in commands(page))
        try:
            text = renewed(page.text, output, datetime.date.today().isoformat(), commit)
        except ValueError as fault:
            sys.exit(f"{name}: {fault}\n{output}")
        (FOLDER / f"{page.name}.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
