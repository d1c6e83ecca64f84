"""Commands on logs: fit, compare, report."""

from pathlib import Path

import click

from edgetest.cli.root import ABOVE_ZERO, COVERAGE, SHARE, Bar, as_json, command, path_argument, say
from edgetest.errors import UnusableInput


def log_options(function):
    """The options that `fit`, `compare` and `report` share."""
    for option in reversed(
        [
            path_argument("log"),
            click.option("--reading", help="Column of the log, such as edge_width_um."),
            click.option("--limit", help="Reading (or grade) at which a blade's life ends."),
            click.option("--power", type=float, help="Power p of the wear law; else estimated."),
            click.option(
                "--level",
                type=COVERAGE,
                default=0.95,
                show_default=True,
                help="Coverage of the intervals.",
            ),
            click.option("--workers", type=int, default=2, show_default=True, help="Processes."),
        ]
    ):
        function = option(function)
    return function


def comparison_options(function):
    """The options that only a comparison has."""
    for option in reversed(
        [
            click.option("--control", help="Control blade, run in every block."),
            click.option("--reference", help="Heat treatment that the others are held against."),
            click.option(
                "--margin",
                type=SHARE,
                default=0.10,
                show_default=True,
                help="Difference in life worth knowing, as a share.",
            ),
        ]
    ):
        function = option(function)
    return function


def _analyse(log, json_, *, limit=None, **options):
    """The source's analysis to a limit that is a number."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.analysis import analyse

    progress = None if json_ else Bar("measuring")
    return analyse(open_source(log), limit=_number(limit), progress=progress, **options)


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


def _graded(log, reading, limit, level):
    """The lives to leaving a grade, where the reading is one; else None."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.analysis import reading_of
    from edgetest.study.wear.grading import analyse_grades, is_graded

    source = open_source(log)
    reading = reading or reading_of(source)
    if not is_graded(source, reading):
        return None
    return analyse_grades(source, reading=reading, leaves=limit, level=level)


@command("fit", "edgetest fit my_log.csv --reading edge_width_um --limit 12")
@log_options
@click.option("--robust", is_flag=True, help="Give outlying readings less weight; name them.")
@as_json
def fit(log, reading, limit, power, level, workers, robust, json_):
    """Wear curve of every blade and its life to the limit. LOG is a study folder or a CSV.

    A graded reading gives the stages between which each blade left the grade. Card cut per
    cycle gives its sums too (after ISO 8442-5).
    """
    graded = _graded(log, reading, limit, level)
    if graded is not None:
        say([life.to_dict() for life in graded.lives], graded.summary(), json_)
        return
    result = _analyse(
        log, json_, reading=reading, limit=limit, power=power, level=level,
        workers=workers, robust=robust, compare=False,
    )  # fmt: skip
    from edgetest.study.wear.card_readings import card_sums_of

    sums = card_sums_of(result) if result.reading == "card_mm" else {}
    curves = []
    for curve in result.fit.blades:
        told = curve.to_dict()
        told["warnings"] += result.warnings
        card = {"card": sums[curve.blade].to_dict()} if curve.blade in sums else {}
        curves.append(told | card)
    lines = [result.fit.summary(), *(f"{blade}: {card.summary()}" for blade, card in sums.items())]
    lines += [warning["text"] for warning in result.warnings]
    say(curves, "\n".join(lines), json_)


history_option = click.option(
    "--history", multiple=True, type=click.Path(path_type=Path),
    help="An earlier study on the same protocol, whose scatter may moderate this one's.",
)  # fmt: skip


@command("compare", "edgetest compare my_study --limit 12 --control C1")
@log_options
@comparison_options
@history_option
@click.option("--also", multiple=True, type=ABOVE_ZERO, help="Compare at this level too.")
@as_json
def compare(log, reading, limit, power, level, workers, control, reference, margin, history, also,
            json_):  # fmt: skip
    """Which heat treatment's blades last longer, by what factor, how sure. LOG as in fit."""
    from edgetest.study.wear.planning import shop_history

    graded = _graded(log, reading, limit, level)
    if graded is not None:
        say(graded.to_dict(), graded.summary(), json_)
        return
    result = _analyse(
        log, json_, reading=reading, limit=limit, power=power, level=level, workers=workers,
        control=control, reference=reference, margin=margin,
        history=shop_history(history, workers=workers), also=also,
    )  # fmt: skip
    if result.comparison is None:
        code = result.warnings[-1]
        raise UnusableInput(
            code["text"].removeprefix("Nothing to compare: ").rstrip("."),
            where=str(log),
            mend="compare needs a limit, a life for each blade and a heat_treatment for two groups",
        )
    document = result.comparison.to_dict()
    document["warnings"] = document["warnings"] + list(result.warnings)
    document["levels"] = [each.to_dict() for each in result.levels]
    document["angles"] = result.angles.to_dict() if result.angles else None
    document["thickness"] = result.thickness.to_dict() if result.thickness else None
    document["laws"] = [law.to_dict() for law in result.laws]
    say(document, result.words(), json_)


@command("report", "edgetest report my_study --to documents")
@log_options
@comparison_options
@click.option("--to", "folder", type=click.Path(path_type=Path), help="Folder for the documents.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]))
@click.option("--units", type=click.Choice(["metric", "inch", "both"]))
@as_json
def report(log, reading, limit, power, level, workers, control, reference, margin, folder, paper,
           units, json_):  # fmt: skip
    """Write the document of a study: PDF and one self-contained HTML page.

    Of a chop test, the sheet of each tool (`edgetest chop --sheet` has its options).
    """
    from edgetest.report.documents.document import build_document
    from edgetest.study.sources import open_source

    source = open_source(log)
    if source.chop_test:
        _report_chops(source, folder or Path(log) / "documents", level, paper, units, json_)
        return
    result = _analyse(
        log, json_, reading=reading, limit=limit, power=power, level=level, workers=workers,
        control=control, reference=reference, margin=margin,
    )  # fmt: skip
    if result.study is None:
        raise UnusableInput(
            "a document needs a study's facts about its blades",
            where=str(log),
            mend="make a study of the log (`edgetest new`) and give its folder here",
        )
    folder = folder or Path(log) / "documents"
    files = build_document(result, folder, paper=paper, units=units)
    document = {"files": [str(path) for path in files], "answer": result.summary()}
    say(document, "\n".join([result.summary(), "", *document["files"]]), json_)


def _report_chops(source, folder, level, paper, units, json_):
    """The sheets of a chop test."""
    from edgetest.report.documents.chopper_sheet import build_sheets
    from edgetest.study.chop.chop_analysis import analyse_chops

    result = analyse_chops(source, level=level)
    files = build_sheets(result, folder, paper=paper, units=units)
    document = {"files": [str(path) for path in files], "answer": result.summary()}
    say(document, "\n".join([result.summary(), "", *document["files"]]), json_)
