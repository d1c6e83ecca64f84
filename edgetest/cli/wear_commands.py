"""Commands on logs: fit, compare, report."""

from dataclasses import dataclass
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class WearQuestion:
    """What `fit`, `compare` and `report` ask of a log."""

    reading: str | None = root.option("Column of the log, such as edge_width_um.")
    limit: str | None = root.option("Reading (or grade) at which a blade's life ends.")
    limit_of_fresh: float | None = root.option(
        "The limit as a multiple of each blade's own fresh reading.", root.ABOVE_ZERO
    )
    law: str | None = root.option("Wear law, such as wedge; default: the reading's own.")
    power: float | None = root.option("Power p of the wear law; else estimated.", float)
    robust: bool = root.option("Give outlying readings less weight; name them.", is_flag=True)
    level: float = root.option("Coverage of the intervals.", root.COVERAGE, default=0.95)
    workers: int = root.option("Processes.", int, default=2)


@dataclass(frozen=True)
class Against:
    """What only a comparison is asked."""

    control: str | None = root.option("Control blade, run in every block.")
    reference: str | None = root.option("Heat treatment that the others are held against.")
    at_cuts: float | None = root.option(
        "Compare readings at so many cuts; default: the last that all reached.", root.ABOVE_ZERO
    )
    margin: float = root.option(
        "Difference in life worth knowing, as a share.", root.SHARE, default=0.1
    )


def _asked_of(log, question, json_, answer, **more):
    """What a function of `study` answers to the question about a log."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.analysis import AnalysisOptions

    asked = {**vars(question), **more}
    workers, progress = asked.pop("workers"), None if json_ else root.Bar("measuring")
    return answer(open_source(log), AnalysisOptions(**asked), workers=workers, progress=progress)


@root.command("fit", "edgetest fit my_log.csv --reading edge_width_um --limit 12")
@root.path_argument("log")
@root.takes(question=WearQuestion)
@root.as_json
def fit_command(log, question, json_):
    """Wear curve of every blade and its life to the limit. LOG is a study folder or a CSV.

    A graded reading gives the stages between which each blade left the grade; noted lives (a
    column life: 340, >150, <20, 320-340) are listed. Card cut per cycle gives its sums too
    (after ISO 8442-5).
    """
    from edgetest.study.wear.wear_answer import curves_of

    result = _asked_of(log, question, json_, curves_of)
    root.say(result.curves_to_dict(), result.curve_words(), json_)


@root.command("compare", "edgetest compare my_study --limit 12 --control C1")
@root.path_argument("log")
@root.takes(question=WearQuestion, against=Against)
@click.option("--history", multiple=True, type=root.PATH,
              help="An earlier study on the same protocol, "
              "whose scatter may moderate this one's.")  # fmt: skip
@click.option("--also", multiple=True, type=root.ABOVE_ZERO, help="Compare at this level too.")
@click.option("--look", is_flag=True,
              help="Note this look in the study, of those that its plan fixed.")  # fmt: skip
@root.as_json
def compare_command(log, question, against, history, also, look, json_):
    """Which heat treatment's blades last longer, by what factor, how sure. LOG as in fit."""
    from edgetest.study.wear.earlier_studies import shop_history
    from edgetest.study.wear.wear_answer import comparison_of

    earlier = shop_history(history, workers=question.workers)
    more = {**vars(against), "history": earlier, "also": also}
    result = _asked_of(log, question, json_, comparison_of, **more)
    if look:
        from edgetest.study.wear.study_looks import remember_look

        remember_look(log, result.comparison and result.comparison.look)
    root.say(result.comparison_to_dict(), result.words(), json_)


@root.command("report", "edgetest report my_study --to documents")
@root.path_argument("log")
@root.takes(question=WearQuestion, against=Against)
@click.option("--to", "folder", type=root.PATH, help="Folder for the documents.")
@root.takes(page=root.Page)
@root.as_json
def report_command(log, question, against, folder, page, json_):
    """Write the document of a study: PDF and one self-contained HTML page.

    Of a chop test, the sheet of each tool (`edgetest chop --sheet` has its options); of found
    steel with no blade tested yet, the verdict's page.
    """
    from edgetest.report.documents.document import build_document
    from edgetest.study.overview import steel_alone
    from edgetest.study.sources import open_source
    from edgetest.study.wear.wear_answer import comparison_of

    folder = folder or Path(log) / "documents"
    source = open_source(log)
    if source.chop_test:
        from edgetest.report.documents.chopper_sheet import build_sheets
        from edgetest.study.chop.chop_analysis import analyse_chops

        chopped = analyse_chops(source, level=question.level)
        _say_files(chopped, build_sheets(chopped, folder, **vars(page)), json_)
        return
    if steel_alone(source):
        from edgetest.report.documents.steel_sheet import build_steel_document
        from edgetest.study.steel.judge_steel import judge_steel

        judged = judge_steel(source.path, workers=question.workers)
        _say_files(judged, build_steel_document(judged, folder, **vars(page)), json_)
        return
    result = _asked_of(log, question, json_, comparison_of, **vars(against))
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
    root.say(document, "\n".join([result.summary(), "", *document["files"]]), json_)
