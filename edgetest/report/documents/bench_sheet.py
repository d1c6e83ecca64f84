"""The bench sheet: one box for every reading of every run, to fill in with a pencil."""

from itertools import product

from edgetest.report.documents.blocks import Contents, boxes, bullets, columns, facts, section
from edgetest.report.documents.frame import program_words
from edgetest.report.documents.typeset import write_document
from edgetest.store.protocol import describe
from edgetest.units import as_typed

NAME = "bench_sheet"
MOST_BOXES = 10  # side by side, so that a number fits into each
WIDTHS = (1.9, 1.0)  # of what is before the first cut, and of the cautions
BLANKS = ("Date", "Hand", "Roll, board or batch", "Edge looked at, by")


def build_bench_sheet(source, made, folder, *, blinded=False, paper="a4", timestamp=None):
    """Write the bench sheet of a plan as PDF.

    Parameters
    ----------
    source : Source
        The study.
    made : Plan
    folder : path-like
    blinded : bool
        Print the blades' codes in place of their names; the key is in the study's folder.
    paper : {"a4", "us-letter"}

    Returns
    -------
    list of Path
    """
    rules = source.protocol
    beforehand = section(
        "Before the first cut",
        facts(
            [
                ("Protocol", f"{rules.title}. {describe(rules)}"),
                (
                    "Edge",
                    f"{rules.edge_preparation.finish}; wire edge "
                    f"{rules.edge_preparation.wire_edge}",
                ),
                ("Medium", rules.medium.batch),
                ("Control blade", source.study.control or "none named"),
                ("Blinded key", f"fingerprint {made.fingerprint}" if blinded else ""),
            ]
        ),
    )
    cautions = section("Cautions", bullets(rules.cautions))
    # Side by side, so that the first run has its table on the first page.
    sections = [section(None, columns([beforehand], [cautions], widths=WIDTHS))]
    for number, run in enumerate(made.runs, 1):
        sections.append(_run(rules, run, number, made, blinded))
    contents = Contents(
        title=f"Bench sheet: {source.title}",
        subtitle=f"{len(made.runs)} runs in balanced order, draw {made.seed}; "
        f"{made.need.in_short()}",
        maker=source.study.maker,
        sections=sections,
        pictures={},
        description="Sheet to fill in at the bench, one box a reading.",
        foot=f"{source.title} · bench sheet",
        label="Invented data, for demonstration" if source.study.invented else None,
        program=program_words(),
    )
    return write_document(contents, folder, NAME, kinds=("pdf",), paper=paper, timestamp=timestamp)


def _run(rules, run, number, made, blinded):
    """One run: a row a stage, a box a reading and station."""
    name = made.codes[run.blade] if blinded else run.blade
    stages = [str(stage) for stage in rules.stages]
    tables = _parts([_group(rules, rule) for rule in rules.readings])
    blocks = [
        boxes(
            rules.life_unit.capitalize(), stages, groups, "Note, mishap",
            blanks=BLANKS if place == 0 else (),
        )
        for place, groups in enumerate(tables)
    ]  # fmt: skip
    return section(f"Run {number}: blade {name}, {run.block}", *blocks)


def _group(rules, rule):
    """A reading's heading and the words over its boxes."""
    unit = f", {rule.unit}" if rule.unit else ""
    stations = [as_typed(s, "mm") for s in rules.stations_mm] if rule.at_stations else [""]
    repeats = [str(k) for k in range(1, rule.repeats + 1)] if rule.repeats > 1 else [""]
    places = [" ".join(filter(None, pair)) for pair in product(stations, repeats)]
    return f"{rule.title[:1].upper()}{rule.title[1:]}{unit}", places


def _parts(groups):
    """The groups shared out over tables that are no wider than a page."""
    parts: list[list] = [[]]
    for title, places in groups:
        for first in range(0, len(places), MOST_BOXES):
            some = places[first : first + MOST_BOXES]
            if sum(len(each) for _, each in parts[-1]) + len(some) > MOST_BOXES:
                parts.append([])
            parts[-1].append((title, some))
    return [part for part in parts if part]
