"""Make a table of the guide again: run the command that it names, take the table of its head.

Run: python -m tests.guide.tables            (lists every table with its command and date)
     python -m tests.guide.tables --names    (only the names of those that a command makes alone)
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
PLACEHOLDER = re.compile(r"[A-Z]{2,}")  # FOLDER: a word that whoever runs the command replaces


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


def needs_a_hand(page):
    """Why a table's commands do not make it alone as they are printed; "" where they do."""
    words = [word for command in commands(page) for word in shlex.split(command)]
    if asked := [word for word in words if PLACEHOLDER.fullmatch(word)]:
        return f"put something for {', '.join(asked)}"
    return "the tests print no table" if "pytest" in words else ""


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
    """List the tables, or make some again; one that fails does not keep the others from it."""
    known = tables()
    if not names:
        for name, page in known.items():
            hand = f"  ({needs_a_hand(page)})" if needs_a_hand(page) else ""
            print(f"{page.front['date']}  {name:28} {page.front['command']}{hand}")
        return
    if names == ["--names"]:
        print("\n".join(name for name, page in known.items() if not needs_a_hand(page)))
        return
    if unknown := set(names) - set(known):
        sys.exit(f"no such table: {', '.join(sorted(unknown))}")
    if faults := list(filter(None, made_again([known[name] for name in names]))):
        sys.exit("\n".join(faults))


def made_again(pages):
    """Make tables again; yields for each what went wrong, or ""."""
    commit = subprocess.run(
        ["git", "rev-parse", "--short=9", "HEAD"], check=True, stdout=subprocess.PIPE, text=True
    ).stdout.strip()
    printed = {}
    for page in pages:
        name = page.name.removeprefix("tables/")
        if hand := needs_a_hand(page):
            yield f"{name}: {hand}"
            continue
        output = ""
        try:
            for command in commands(page):
                if command not in printed:
                    printed[command] = run(command)
            output = "\n".join(printed[command] for command in commands(page))
            text = renewed(page.text, output, datetime.date.today().isoformat(), commit)
        except (ValueError, subprocess.CalledProcessError) as fault:
            yield f"{name}: {fault}\n{output}"
            continue
        (FOLDER / f"{page.name}.md").write_text(text, encoding="utf-8")
        yield ""


if __name__ == "__main__":
    main(sys.argv[1:])
