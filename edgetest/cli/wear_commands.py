"""Commands on logs: fit, compare."""

from dataclasses import dataclass

import click

from edgetest.cli import root


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
    reference: str | None = root.option("Heat treatment to compare the others with.")
    at_cuts: float | None = root.option(
        "Compare readings at this number of cuts; default: the last that all reached.",
        root.ABOVE_ZERO,
    )
    margin: float = root.option(
        "Smallest difference in life that matters to you, as a share.", root.SHARE, default=0.1
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
              help="An earlier study on the same protocol, or a folder of studies: how their "
              "blades scatter and their heat treatments differ may moderate this one.")  # fmt: skip
@click.option("--also", multiple=True, type=root.ABOVE_ZERO, help="Compare to this limit too.")
@click.option("--look", is_flag=True,
              help="Note this as one of the looks that the plan fixed; made too early, make it "
                   "again of the same blades, and the later one counts.")  # fmt: skip
@root.as_json
def compare_command(log, question, against, history, also, look, json_):
    """Which heat treatment's blades last longer, by what factor, and how sure that is.

    LOG is a study folder or a CSV. With three heat treatments or more, all pairs are compared, and
    each with the reference; their intervals are widened for so many.
    """
    from edgetest.study.sources import open_source
    from edgetest.study.wear.wear_answer import comparison_of

    earlier, source = None, open_source(log) if look or history else None
    if look and source is not None:
        from edgetest.study.bench.blinding import refuse_sealed_look

        refuse_sealed_look(source.study)
    if history:
        from edgetest.study.wear.earlier_studies import shop_history

        earlier = shop_history(history, source, question.reading, workers=question.workers)
    more = {**vars(against), "history": earlier, "also": also}
    result = _asked_of(log, question, json_, comparison_of, **more)
    if look and source is not None:
        from edgetest.study.wear.study_looks import look_made, remember_look

        remember_look(log, look_made(source.study, result.comparison))
    root.say(result.comparison_to_dict(), result.words(), json_)
