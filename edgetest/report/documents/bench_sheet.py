"""The bench sheet: one box for every reading of every turn, to fill in with a pencil."""

import re
from dataclasses import replace
from itertools import groupby

from edgetest.chop.as_chopped import SAME_SIZE
from edgetest.report.documents.blocks import Contents, boxes, bullets, columns, facts, section
from edgetest.report.documents.frame import program_words
from edgetest.report.documents.typeset import write_document
from edgetest.report.letters import breakable
from edgetest.store.document_wishes import settings_of
from edgetest.store.protocol import describe
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.bench.sheet_rows import more_turns, sheet_turns
from edgetest.study.chop.added_pieces import severs
from edgetest.study.chop.board_order import boards_of, pieces_of_boards
from edgetest.study.chop.order_begun import numbered_on
from edgetest.study.wear.saved_plan import log_to_come
from edgetest.study.words import counted

NAME = "bench_sheet"
_INCH = {"mm": "in", "g": "oz"}
_METRIC = re.compile(r"(?<=[ (])(?:mm|g)(?=\)|$)")
SIDE_BY_SIDE = 8  # boxes of 20 mm in a line, on A4 and on Letter, beside the blade
WIDE = {"mishap": 2, "note": 2}  # boxes' places that words take; the last takes the rest
WOOD_WIDE = {"species": 2}
HEIGHT_MM = {"log": 18.2, "chops": 14.6}  # of a box; a piece, and what is seldom taken, in a line
LONG = 8  # letters without a blank that stand in one line beside the boxes
AT_THE_LIMIT = (
    "Stop with it there; or stone it out, log a touch-up and chop on, which its page then tells"
)
LONG_TURN = 12  # boxes of a piece with all that is asked of its wood
WIDTHS = (1.9, 1.0)  # of what is before the first cut, and of the cautions


def build_bench_sheet(source, made, folder, *, promise="", paper="a4", timestamp=None):
    """Write the bench sheet of a plan as PDF.

    Its turns are the rows of the log to come, in their order: under each roll, board or day the
    blades come in turn at every stage.

    Parameters
    ----------
    source : Source
        The study.
    made : Plan or RunOrder
    folder : path-like
    promise : str
        What the plan can show, in short.
    paper : {"a4", "us-letter"}

    Returns
    -------
    list of Path
    """
    rules, sealed = source.protocol, is_sealed(source.study)
    name, records = _records(source, made)
    beforehand = section(
        f"Before the first {'chop' if rules.log == 'chops' else 'cut'}",
        facts(
            [
                ("Protocol", f"{rules.title}. {describe(rules)}"),
                ("Edge", _edge_words(rules.edge_preparation)),
                ("A blade is done", _end_words(source.study, len(boards_of(made.runs)))),
                ("Medium", rules.medium.batch),
                ("Names", "sealed; the codes are tied on the blades" if sealed else ""),
                ("Control blade", "" if sealed else source.study.control or "none named"),
                ("Grades", _grade_words(rules, records[0])),
                ("Order", f"{_order_words(rules)} Leave empty what was not read."),
            ]
        ),
    )
    cautions = section("Cautions", bullets(rules.cautions))
    # Side by side, so that the first turns are on the first page.
    sections = [section(None, columns([beforehand], [cautions], widths=WIDTHS))]
    high = HEIGHT_MM[rules.log]
    read = [turn for turn in _turns(source.study, name, records, rules) if turn.boxes]
    for (block, head), turns in groupby(read, lambda turn: (turn.block, turn.head)):
        rows = [_row(turn) for turn in turns]
        heading = f"{block[:1].upper()}{block[1:]}" or "Blade"
        wood = WOOD_WIDE if len(head) < SIDE_BY_SIDE else {}  # one line, also with a full head
        asked = _lines(head, wood) if head else [[]] * (rules.log != "chops")
        block_ = boxes(breakable(heading, LONG), asked, SIDE_BY_SIDE, rows, height_mm=high)
        sections.append(section(None, block_))
    if more := [_row(turn) for turn in more_turns(name, records)]:
        sections.append(section(None, boxes("", [], SIDE_BY_SIDE, more, height_mm=high)))
    contents = Contents(
        title=f"Bench sheet: {source.title}",
        subtitle=_subtitle(made, promise, rules),
        maker=source.study.maker,
        sections=sections,
        pictures={},
        description="Sheet to fill in at the bench, one box a reading.",
        foot=f"{source.title} · bench sheet",
        label="Invented data, for demonstration" if source.study.invented else None,
        program=program_words(),
        boxed=True,
    )
    return write_document(contents, folder, NAME, kinds=("pdf",), paper=paper, timestamp=timestamp)


def _records(source, made):
    """The log to come; of a chop test under way the runs that are left, numbered on."""
    name, records = log_to_come(source, made.runs)
    return name, numbered_on(records, source.chops) if made.left else records


def _subtitle(made, promise, rules):
    draw = f", drawn with the number {made.seed}" if made.seed is not None else ""
    order = f"{counted(len(made.runs), 'run')} in balanced order{draw}"
    if severs(rules):
        times = sorted(pieces_of_boards((run.block, run.blade) for run in made.runs).values())
        pieces = "a piece" if times[-1] == 1 else counted(times[0], "piece")
        pieces = pieces if times[0] == times[-1] else f"{times[0]} to {times[-1]} pieces"
        boards = counted(len(times), "board")
        order = f"{boards}, each with {pieces} for every tool; turns balanced{draw}"
    return "; ".join(part for part in (order, promise) if part)


def _edge_words(edge):
    """How the protocol wants the edges ground, finished and freed of the wire."""
    side, whole = edge.angle_per_side_deg, edge.included_angle_given_deg
    ground = f"{whole:g}° included; " if whole else ""
    ground = f"{side:g}° per side ({2 * side:g}° included); " if side else ground
    return f"{ground}{edge.finish}; wire edge {edge.wire_edge}"


def _end_words(study, planned):
    """When a blade need not be cut on; "" for a protocol without stages."""
    rules, limit = study.rules, study.limit_value
    if not rules.stages:
        return ""
    last = f"at {rules.stages[-1]:g} {rules.life_unit}"
    rule = next((each for each in rules.readings if each.name == study.reading_name), None)
    if rules.log == "chops":
        last = f"after chop {rules.stages[-1]:g}"
        if severs(rules):
            least = len(rules.stages)
            last = f"after {counted(least, 'piece')} at the least"
            if planned > least:
                last = f"after the {planned} pieces below ({least} at the least)"
    if limit is None or rule is None:
        return last
    end = limit if isinstance(limit, str) else f"{limit:g} {rule.unit}".strip()
    if rules.log != "chops":
        return f"past its limit, {rule.title} {end}, or {last}"
    new = f"{end} new {'chip' if end == '1' else 'chips'}"
    end = new if rule.name == "chips_count" else f"{rule.title} {end}"
    return f"{last}; sooner at {end}. {AT_THE_LIMIT}"


def _grade_words(rules, columns):
    """The words that a grade is noted in; "" where the sheet asks for none."""
    graded = any(rule.kind == "grade" and rule.name in columns for rule in rules.readings)
    return f"from sharpest to dullest: {'; '.join(rules.ladder)}" if graded else ""


def _order_words(rules):
    if rules.log != "chops":
        return "From top to bottom: all blades have their turn at a stage before the next stage."
    if not severs(rules):
        return "From top to bottom: all tools make a chop before any makes the next."
    return (
        "From top to bottom: a piece with each tool in turn, then the next board. What stands "
        "beside a board holds for all its pieces: note where one differs. Further pieces, "
        "of another wood or size too, are yours to add, one with each tool: a row of chops.csv "
        f"each. Up to {100 * (SAME_SIZE - 1):.0f} % apart in size they share a mean."
    )


def _turns(study, name, records, rules):
    """The turns of the sheet, in the words of the study's units."""
    turns = sheet_turns(name, records, rules)
    inch = settings_of(study).units == "inch"
    return [_with_both_units(turn) for turn in turns] if inch else turns


def _with_both_units(turn):
    """A turn whose boxes ask for the unit beside the number: a bare number of the log is metric."""

    def asked(boxes):
        return tuple(replace(box, words=_METRIC.sub(lambda unit: f"{unit[0]} or {_INCH[unit[0]]}",
                                                    box.words)) for box in boxes)  # fmt: skip

    return replace(turn, boxes=asked(turn.boxes), head=asked(turn.head))


def _row(turn):
    """One turn as lines of boxes; words have more room than numbers."""
    lines = _lines(turn.boxes, WIDE)
    return {"stage": turn.stage, "blade": breakable(turn.blade, LONG), "lines": lines}


def _lines(asked, wide):
    """Boxes in lines, each as wide as `wide` says of its column; the last takes the rest."""
    lines: list[list] = [[]]
    free = SIDE_BY_SIDE
    for box in asked:
        width = wide.get(box.column, 1)
        if box.column == "mishap" and free == width + wide.get("note", 1) - 1:
            width -= 1  # so that the note stands beside it
        if box.column in wide and len(asked) > LONG_TURN and free <= 2:
            width = 1  # a piece takes two lines, and no third for a note alone
        if width > free:
            lines[-1][-1]["places"] += free
            lines.append([])
            free = SIDE_BY_SIDE
        lines[-1].append({"words": box.words, "places": width})
        free -= width
    lines[-1][-1]["places"] += free
    return lines
