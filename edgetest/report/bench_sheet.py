"""The bench sheet: one box for every reading of every run, to fill in with a pencil."""

from edgetest.protocol import describe
from edgetest.report.blocks import Contents, bullets, facts, section, table, text
from edgetest.report.frame import program_words
from edgetest.report.typeset import write_document

NAME = "bench_sheet"


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
    sections = [
        section(
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
        ),
        section("Cautions", bullets(rules.cautions)),
    ]
    for number, run in enumerate(made.runs, 1):
        sections.append(_run(rules, run, number, made, blinded))
    contents = Contents(
        title=f"Bench sheet: {source.title}",
        subtitle=f"{len(made.runs)} runs in random order, seed {made.seed}",
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
    boxes = []
    for rule in rules.readings:
        unit = f", {rule.unit}" if rule.unit else ""
        places = [f" at {s:g} mm" for s in rules.stations_mm] if rule.at_stations else [""]
        repeats = [f" {k}" for k in range(1, rule.repeats + 1)] if rule.repeats > 1 else [""]
        boxes += [f"{rule.title}{place}{k}{unit}" for place in places for k in repeats]
    columns = [("Cuts", "right", "auto"), *((box, "left", 1.0) for box in boxes),
               ("Note, mishap", "left", 1.6)]  # fmt: skip
    rows = [[str(stage), *["" for _ in boxes], ""] for stage in rules.stages]
    words = "Date:                    Hand:                    Medium batch:"
    return section(f"Run {number}: blade {name}, {run.block}", text(words, lead=True),
                   table(columns, rows))  # fmt: skip
