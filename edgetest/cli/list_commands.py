"""Commands that list what the program knows: protocols, woods, the guide."""

import click

from edgetest.cli import root
from edgetest.errors import UnusableInput

LONGEST_TOLD = 80  # letters of a question that the guide does not hold


@root.command("protocols", "edgetest protocols\n  edgetest protocols sisal_rope")
@click.argument("name", required=False)
@click.option("--to", "copy", type=root.PATH, help="Copy NAME into this .toml file, to change it.")
@root.as_json
def protocols_command(name, copy, json_):
    """The test procedures that come with the program; with NAME, one of them in words.

    JSON: {protocols: [{id, title, purpose, log, medium, stages, stations_mm, readings [{name,
    title, unit, repeats}], limit {reading, value, why} or null, cautions}]}.
    """
    from edgetest.store.protocol import describe, load_protocol, protocol_ids

    if copy is not None:
        _copied(name, copy, json_)
        return
    found = [load_protocol(each) for each in ([name] if name else protocol_ids())]
    document = {"protocols": [_document(each) for each in found]}
    if name:
        (rules,) = found
        lines = [rules.title, rules.purpose, describe(rules)]
        lines += [f"Grades, from sharpest to dullest: {'; '.join(rules.ladder)}."] * bool(
            rules.ladder
        )
        lines += ["", "Cautions:"]
        lines += [f"- {caution}" for caution in rules.cautions]
        lines += [
            "",
            f"Begin with:  edgetest new my_study --protocol {rules.id} --blade H1 --blade S1",
        ]
    else:
        width = max(len(rules.id) for rules in found)
        lines = [f"{rules.id:{width}}  {rules.title}" for rules in found]
    root.say(document, "\n".join(lines), json_)


def _copied(name, copy, json_):
    """A protocol as a file of one's own, which has its name for an id."""
    from edgetest.store.workspace import copy_protocol

    if name is None or copy.suffix != ".toml":
        mend = "write edgetest protocols sisal_rope --to my_test.toml"
        raise UnusableInput("a copy needs a protocol and a .toml file", "--to", mend)
    path = copy_protocol(name, copy.parent, copy.stem)
    words = f'{path}: change it, and name it in study.toml: protocol = "{path.name}"'
    root.say({"copied": str(path)}, words, json_)


def _document(rules):
    limit = rules.limit
    return {
        "id": rules.id,
        "title": rules.title,
        "purpose": rules.purpose,
        "log": rules.log,
        "medium": f"{rules.medium.kind}, {rules.medium.size}",
        "stages": list(rules.stages),
        "stations_mm": list(rules.stations_mm),
        "readings": [
            {"name": each.name, "title": each.title, "unit": each.unit, "repeats": each.repeats}
            for each in rules.readings
        ],
        "limit": limit and {"reading": limit.reading, "value": limit.value, "why": limit.why},
        "cautions": list(rules.cautions),
    }


@root.command("woods", "edgetest woods ash")
@click.argument("words", nargs=-1)
@root.as_json
def woods_command(words, json_):
    """The woods that are known, at 12 % moisture; with WORDS, those whose names hold them.

    JSON: {woods: [{name, botanical, region, density_kg_m3, density_source, hardness_n, low, high,
    hardness_source}]}; the hardness is the side hardness, with its 95 % interval.
    """
    from edgetest.chop.wood_listing import listed_woods, nearest_wood, said_of_wood

    found = listed_woods(" ".join(words))
    document = {"woods": [wood.to_dict() for wood in found]}
    lines = [wood.summary() for wood in found]
    known = "" if found else said_of_wood(" ".join(words))
    near = "" if found or known else nearest_wood(" ".join(words))
    meant = f'did you mean "{near}"? ' if near else ""
    none = f'no wood is called "{" ".join(words)}"; {meant}`edgetest woods` lists all of them'
    root.say(document, "\n".join(lines) or known or none, json_)


@root.command("guide", "edgetest guide knots\n  edgetest guide how_to/chop_test_a_hatchet")
@click.argument("words", nargs=-1)
@root.as_json
def guide_command(words, json_):
    """The guide: its pages; with WORDS, where in it they stand; with a page's name, the page.

    WORDS may be a question. What fits best comes first.

    JSON: {pages: [{name, title}], passages: [{page, title, heading, words}], text of the page or
    null}.
    """
    from edgetest.store.guide_pages import KINDS, guide_pages, page_asked_for
    from edgetest.store.guide_search import passages

    asked = " ".join(words)
    pages = guide_pages()
    page = page_asked_for(asked)
    found = passages(asked) if asked and page is None else []
    document = {
        "pages": [{"name": each.name, "title": each.title} for each in pages.values()],
        "passages": [each.to_dict() for each in found],
        "text": page and page.body,
    }
    if page:
        lines = [page.body]
    elif asked:
        lines = _passages(found) or [_none(asked)]
    else:
        lines = [
            f"{KINDS[each.kind]}: {each.title}  ({each.name})" for each in pages.values()
            if each.kind != "tables"
        ]  # fmt: skip
        lines += ["", "Ask:  edgetest guide knots      Read:  edgetest guide start/borders"]
    root.say(document, "\n".join(lines), json_)


def _passages(found):
    """Each passage below the page and the heading where it stands."""
    lines = []
    for each in found:
        under = "" if each.heading == each.title else f", {each.heading}"
        lines += [f"{each.title}{under}  ({each.page})", f"  {each.words}", ""]
    short = [each.page for each in found if not each.page.startswith("reference")]
    to_read = next(iter(short or [each.page for each in found]), "")
    return [*lines, f"Read a page:  edgetest guide {to_read}"] if found else []


def _none(asked):
    from edgetest.store.guide_search import meant_by

    near = meant_by(asked)
    meant = f'did you mean "{near}"? ' if near else ""
    told = asked if len(asked) <= LONGEST_TOLD else f"{asked[:LONGEST_TOLD]} …"
    return f'nothing in the guide holds "{told}"; {meant}`edgetest guide` lists its pages'
