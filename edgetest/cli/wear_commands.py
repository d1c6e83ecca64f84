"""Commands on logs: fit, compare, report."""

from dataclasses import dataclass
from pathlib import Path

import click

from edgetest.cli.root import (
    ABOVE_ZERO,
    COVERAGE,
    PATH,
    SHARE,
    Bar,
    Page,
    as_json,
    command,
    option,
    path_argument,
    say,
    takes,
)
from edgetest.doubts import told as doubts_told
from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class WearQuestion:
    """What `fit`, `compare` and `report` ask of a log."""

    reading: str | None = option("Column of the log, such as edge_width_um.")
    limit: str | None = option("Reading (or grade) at which a blade's life ends.")
    power: float | None = option("Power p of the wear law; else estimated.", float)
    level: float = option("Coverage of the intervals.", COVERAGE, default=0.95)
    workers: int = option("Processes.", int, default=2)


@dataclass(frozen=True)
class Against:
    """What only a comparison is asked."""

    control: str | None = option("Control blade, run in every block.")
    reference: str | None = option("Heat treatment that the others are held against.")
    margin: float = option("Difference in life worth knowing, as a share.", SHARE, default=0.1)


def _analyse(log, question, json_, **more):
    """The source's analysis to a limit that is a number."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.analysis import AnalysisOptions, analyse

    asked = {**vars(question), "limit": _number(question.limit), **more}
    how = {"workers": asked.pop("workers"), "compare": asked.pop("compare", True)}
    progress = None if json_ else Bar("measuring")
    return analyse(open_source(log), AnalysisOptions(**asked), progress=progress, **how)


def _number(limit):
    """The limit as typed, as a number; decimal comma or point."""
    if limit is None:
        return None
    from edgetest.units import Unreadable, parse_number

    try:
        return parse_number(limit)
    except Unreadable:
        raise UnusableInput(
            f'"{limit}" is not a number', "--limit", "write digits; a grade needs --reading grade"
        ) from None


def _graded(log, question):
    """The lives to leaving a grade, where the reading is one; else None."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.analysis import reading_of
    from edgetest.study.wear.grading import analyse_grades, is_graded

    source = open_source(log)
    reading = question.reading or reading_of(source)
    if not is_graded(source, reading):
        return None
    return analyse_grades(source, reading=reading, leaves=question.limit, level=question.level)


@command("fit", "edgetest fit my_log.csv --reading edge_width_um --limit 12")
@path_argument("log")
@takes(question=WearQuestion)
@click.option("--robust", is_flag=True, help="Give outlying readings less weight; name them.")
@as_json
def fit_command(log, question, robust, json_):
    """Wear curve of every blade and its life to the limit. LOG is a study folder or a CSV.

    A graded reading gives the stages between which each blade left the grade. Card cut per
    cycle gives its sums too (after ISO 8442-5).
    """
    graded = _graded(log, question)
    if graded is not None:
        say([life.to_dict() for life in graded.lives], graded.summary(), json_)
        return
    result = _analyse(log, question, json_, robust=robust, compare=False)
    from edgetest.study.wear.card_readings import card_sums_of

    sums = card_sums_of(result) if result.reading == "card_mm" else {}
    curves = []
    for curve in result.fit.blades:
        told = curve.to_dict()
        for key, entries in doubts_told(result.study_doubts).items():
            told[key] += entries
        card = {"card": sums[curve.blade].to_dict()} if curve.blade in sums else {}
        curves.append(told | card)
    lines = [result.fit.summary(), *(f"{blade}: {card.summary()}" for blade, card in sums.items())]
    lines += [one.text for one in result.study_doubts]
    say(curves, "\n".join(lines), json_)


@command("compare", "edgetest compare my_study --limit 12 --control C1")
@path_argument("log")
@takes(question=WearQuestion, against=Against)
@click.option("--history", multiple=True, type=PATH,
              help="An earlier study on the same protocol, "
              "whose scatter may moderate this one's.")  # fmt: skip
@click.option("--also", multiple=True, type=ABOVE_ZERO, help="Compare at this level too.")
@as_json
def compare_command(log, question, against, history, also, json_):
    """Which heat treatment's blades last longer, by what factor, how sure. LOG as in fit."""
    from edgetest.study.wear.planning import shop_history

    graded = _graded(log, question)
    if graded is not None:
        say(graded.to_dict(), graded.summary(), json_)
        return
    earlier = shop_history(history, workers=question.workers)
    result = _analyse(log, question, json_, **vars(against), history=earlier, also=also)
    say(result.comparison_to_dict(), result.words(), json_)


@command("report", "edgetest report my_study --to documents")
@path_argument("log")
@takes(question=WearQuestion, against=Against)
@click.option("--to", "folder", type=PATH, help="Folder for the documents.")
@takes(page=Page)
@as_json
def report_command(log, question, against, folder, page, json_):
    """Write the document of a study: PDF and one self-contained HTML page.

    Of a chop test, the sheet of each tool (`edgetest chop --sheet` has its options).
    """
    from edgetest.report.documents.document import build_document
    from edgetest.study.sources import open_source

    folder = folder or Path(log) / "documents"
    source = open_source(log)
    if source.chop_test:
        from edgetest.report.documents.chopper_sheet import build_sheets
        from edgetest.study.chop.chop_analysis import analyse_chops

        chopped = analyse_chops(source, level=question.level)
        _say_files(chopped, build_sheets(chopped, folder, **vars(page)), json_)
        return
    result = _analyse(log, question, json_, **vars(against))
    if result.study is None:
        raise UnusableInput(
            "a document needs a study's facts about its blades",
            where=str(log),
            mend="make a study of the log (`edgetest new`) and give its folder here",
        )
    _say_files(result, build_document(result, folder, **vars(page)), json_)


def _say_files(result, files, json_):
    """The answer, and where its documents are."""
    document = {"files": [str(path) for path in files], "answer": result.summary()}
    say(document, "\n".join([result.summary(), "", *document["files"]]), json_)
