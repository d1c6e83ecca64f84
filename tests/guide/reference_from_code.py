"""Pages of the reference that the code holds: doubts, commands, formats, protocols, words."""

import re
import textwrap
import tomllib
from pathlib import Path

import click

from edgetest import doubts as catalogue_of
from edgetest.cli import root
from edgetest.cli.schema_command import schema_names
from edgetest.doubts import catalogue
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.store.chop_log import COLUMNS as CHOP_COLUMNS
from edgetest.store.guide_pages import FOLDER, guide_pages
from edgetest.store.logs import log_columns
from edgetest.store.places import shipped
from edgetest.store.protocol import describe, load_protocol, protocol_ids
from edgetest.units import SHOWN

PARTIALS = Path(__file__).parent / "partials"
FILLED_IN = re.compile(r"\{(\w+)(?:[:!][^}]*)?\}")
JSON = re.compile(r"(?=^JSON\b)", re.MULTILINE)
GRAVITY = {
    "decides": "Decides: the answer stands or falls with it.",
    "limits": "Limits: the answer holds less far, or less surely.",
    "notes": "Good to know.",
}


def doubts():
    """Every code, by the topics of the catalogue."""
    kinds, pages = catalogue(), guide_pages()
    yield "# Doubts: every code, and what to do"
    yield ""
    yield "A doubt tells what an answer may not be believed for. Its code stands in every JSON"
    yield "document, its sentence wherever you read the answer. Words in *italics* are filled in"
    yield "from your data. The sentence ends with what would mend it, where anything does."
    yield "Of a steel, one that decides is good to know and no more where what was done since made"
    yield "it good, or the reading to go by stands there: so a skin softer than the steel below it."
    for topic, codes in topics().items():
        yield from ("", f"## {topic[:1].upper()}{topic[1:]}")
        for code in codes:
            kind = kinds[code]
            yield from ("", f"### {code}", "")
            yield FILLED_IN.sub(lambda found: f"*{found[1].replace('_', ' ')}*", kind.says.strip())
            page = pages.get(kind.guide)
            more = f" More: [{page.title}]({address(kind.guide)})." if page else ""
            yield from ("", f"*{GRAVITY[kind.gravity]}*{more}")


def address(name):
    """The link from a page of the reference to a page of the guide."""
    kind, _, file = name.rpartition("/")
    return f"{file}.md" if kind == "reference" else f"../{name}.md"


def topics():
    """Codes of doubts by the headings of the catalogue; a heading that comes again is joined."""
    text = Path(catalogue_of.__file__).with_suffix(".toml").read_text(encoding="utf-8")
    found, topic = {}, ""
    for line in text.splitlines():
        if heading := re.match(r"# --- (.+)", line):
            topic = heading[1]
        elif code := re.match(r"\[(\w+)\]", line):
            found.setdefault(topic, []).append(code[1])
    return found


def commands():
    """Every command with its options, as its help tells them."""
    every = root.edgetest.commands
    yield "# Commands"
    yield ""
    yield "Every command takes `--help`, and with `--json` prints one document and nothing else."
    yield "Exit code 0: done. 2: input that cannot be used; each fault is one line that says what,"
    yield "where and how to mend it. 1: a fault of the program."
    for name in sorted(every):
        yield from _command(name, every[name])


def _command(name, command):
    told, _, example = (command.help or "").partition("\b\nExample:\n")
    words, *holds = JSON.split(told.strip(), maxsplit=1)
    yield from ("", f"## edgetest {name}", "", _plain(words))
    arguments = [p for p in command.params if isinstance(p, click.Argument)]
    usage = " ".join(p.make_metavar(click.Context(command)) for p in arguments)
    yield from ("", f"```sh\nedgetest {name} [OPTIONS] {usage}".rstrip() + "\n```")
    options = [p for p in command.params if isinstance(p, click.Option) and not p.hidden]
    if options:
        yield from ("", "| option | what it does |", "| --- | --- |")
        context = click.Context(command)
        for each in options:
            record = each.get_help_record(context)
            if record:
                yield f"| `{_cell(record[0])}` | {_cell(record[1])} |"
    if example:
        yield from ("", "Example:", "", "```sh", *map(str.strip, example.strip().splitlines()))
        yield "```"
    if holds:
        told = textwrap.fill(" ".join("".join(holds).replace("\b", "").split()), 100)
        schema = f"; its schema: `edgetest schema {name}`" if name in schema_names() else ""
        yield from ("", f"What `--json` prints{schema}:", "", "```text", told, "```")


def _plain(text):
    """Paragraphs of a command's help in one line each; brackets and braces as they are."""
    paragraphs = re.split(r"\n\s*\n", text.replace("\b", "").strip())
    return "\n\n".join(re.sub(r"([<>*_])", r"\\\1", " ".join(p.split())) for p in paragraphs)


def _cell(text):
    return " ".join(text.split()).replace("|", r"\|").replace("<", r"\<")


def formats():
    """The files of a study: what was written of them, and the columns and keys from the code."""
    yield (PARTIALS / "formats.md").read_text(encoding="utf-8").strip()
    for file, columns in (("log.csv", log_columns()), ("chops.csv", CHOP_COLUMNS)):
        yield from ("", f"## Every column of {file}, as the program reads it", "")
        yield from ("| column | a cell is | unit | bounds, words |", "| --- | --- | --- | --- |")
        for column in columns.values():
            unit = SHOWN.get(column.unit, column.unit)
            yield f"| {column.name} | {column.kind} | {unit} | {_bounds(column)} |"
    yield from ("", "## JSON schemas", "")
    yield "`edgetest schema NAME` prints what the JSON of a command holds (JSON Schema, draft"
    yield f"2020-12). There are: {', '.join(f'`{name}`' for name in schema_names())}."


def _bounds(column):
    told = []
    if column.above is not None:
        told.append(f"above {column.above:g}")
    if column.least is not None:
        told.append(f"{column.least:g} or more")
    told += [*(column.usual or column.choices), *column.ladder]
    return ", ".join(told)


def protocols():
    """Each protocol in words, with its readings, limit, sources and cautions."""
    yield (PARTIALS / "protocols.md").read_text(encoding="utf-8").strip()
    for name in protocol_ids():
        rules = load_protocol(name)
        raw = tomllib.loads((shipped("protocols") / f"{name}.toml").read_text(encoding="utf-8"))
        yield from ("", f"## {name}", "", f"**{rules.title}.** {rules.purpose}", "")
        yield from (describe(rules), "")
        yield from ("| reading | how | again | source |", "| --- | --- | --- | --- |")
        for each in rules.readings:
            unit = f", {each.unit}" if each.unit else ""
            yield f"| `{each.name}`{unit} | {each.check} | {each.repeats} | {each.source} |"
        limit = rules.limit
        if limit:
            value = f"`{limit.reading}` = {limit.value:g}"
            yield from ("", f"Life ends at {value}: {limit.why} ({limit.source})")
        yield from ("", f"Control blade: {rules.control_blade}", "", "Cautions:", "")
        yield from (f"- {caution}" for caution in rules.cautions)
        yield from ("", "Sources:", "")
        told = {key: part["source"] for key, part in raw.items() if _has_source(part)}
        for what, source in {**told, **raw["sources"]}.items():
            yield f"- {what.replace('_', ' ')}: {source}"


def _has_source(part):
    return isinstance(part, dict) and "source" in part


def steel_tests():
    """What a found steel can be tried by, with the reason and the hours of each test."""
    yield (PARTIALS / "steel_tests.md").read_text(encoding="utf-8").strip()
    yield from (
        "",
        "| test | why | hours of work | under `no_test` |",
        "| --- | --- | ---: | --- |",
    )
    for test in TESTS_BY_CODE.values():
        yield f"| {test.title} | {test.why} | {test.hours:g} | `{test.code}` |"


def questions_answered():
    """What makers asked, with a short answer each."""
    yield (PARTIALS / "questions.md").read_text(encoding="utf-8").strip()


def glossary_terms():
    """The words of the glossary: term, meaning, words that are not used for it."""
    path = FOLDER / "glossary.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def glossary():
    """The words that program and guide use, each for one thing."""
    yield "# Words, each for one thing"
    yield ""
    yield "Labels, answers and guide use these words so. Trade words are common practice, no"
    yield "source."
    for topic, words in glossary_terms().items():
        if topic == "not":
            continue
        yield from ("", f"## {topic[:1].upper()}{topic[1:].replace('_', ' ')}", "")
        yield from ("| word | what it means here |", "| --- | --- |")
        yield from (f"| {word} | {meaning} |" for word, meaning in words.items())
