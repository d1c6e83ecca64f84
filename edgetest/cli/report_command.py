"""The command that writes documents: report."""

from dataclasses import dataclass, fields

import click

from edgetest.cli import root
from edgetest.cli.chop_commands import ChopQuestion, tapers_of
from edgetest.cli.wear_commands import Against, WearQuestion
from edgetest.errors import UnusableInput

JOBS = ("comparison", "chopper", "steel")
_A = {"comparison": "a comparison", "chopper": "a chopper", "steel": "a steel"}


@dataclass(frozen=True)
class Whose:
    """Which of a study's tools or pieces the document is about."""

    blade: str | None = root.option(
        "Of a chopper: whose sheet; else all but the control's.", metavar="BLADE"
    )
    piece: str | None = root.option(
        "Of a steel: the piece asked about; else the one that was tested most.", metavar="PIECE"
    )
    hand_over: str | None = root.option(
        "Of a steel: a page of these pieces alone, for who takes them, without your prices.",
        metavar="PIECES",
    )
    photographs: str | None = root.option(
        "Of a comparison: the rows of its photographs in a CSV file beside it, or inside it.",
        click.Choice(["aside", "inside"]),
    )


@dataclass(frozen=True)
class Asked(WearQuestion, Against, ChopQuestion, Whose):
    """All that a document may be asked, of whichever job."""


_OWN = {
    "comparison": {
        *(each.name for each in (*fields(WearQuestion), *fields(Against))),
        "photographs",
    },
    "chopper": {*(each.name for each in fields(ChopQuestion)), "blade", "level"},
    "steel": {"piece", "workers", "hand_over"},
}


@root.command(
    "report", "edgetest report my_study --to documents\n"
    "  edgetest report my_hatchet --blade H1 --units both\n"
    "  edgetest report my_discs --about steel --piece 'disc A'\n"
    "  edgetest report my_discs --hand-over 'disc A, disc B'"
)  # fmt: skip
@root.path_argument("study")
@click.option("--about", type=click.Choice(JOBS),
              help="Which document to write, if the study holds several jobs.")  # fmt: skip
@click.option("--to", "folder", type=root.PATH,
              help="Folder for the documents; default: documents in the study.")  # fmt: skip
@root.takes(page=root.Page, asked=Asked)
@root.as_json
def report_command(study, about, folder, page, asked, json_):
    """Write the document of a study: PDF and one self-contained HTML page.

    Of cut blades the comparison of their heat treatments; of a chop test the sheet of each tool;
    of found steel the verdict. A study that holds several of them gets the one it is mainly for,
    a steel's the verdict, and the text says how to ask for another with --about.

    One document serves you and your customer: what you are bidden to do stands apart, under "To
    the maker". --photographs aside leaves out the table of photographs, --hand-over your prices.

    A tool's sheet opens with the wood that most of its pieces were of, or with the one that
    headline_wood under [document] of study.toml names: "hazel", "green hazel", "hazel 47".

    \b
    JSON: {about: comparison | chopper | steel, others: jobs that --about may ask for too,
    files, answer}.
    """  # noqa: D301 - click wants the real \b
    from edgetest.report.documents.report_of_study import write_report
    from edgetest.study.answers import job_asked, jobs_of
    from edgetest.study.sources import open_source

    source = open_source(study)
    about = job_asked(source, about)
    _refuse_others(about, jobs_of(source))
    question = {**vars(asked), "thinner": tapers_of(asked)}
    question = {name: question[name] for name in _OWN[about]}
    progress = None if json_ or about == "chopper" else root.Bar("measuring")
    found = write_report(source, folder, about=about, progress=progress, **vars(page), **question)
    root.say(found.to_dict(), found.summary(), json_)


def _refuse_others(about, held):
    """Refuse what was typed for another document than the one that is written.

    Raises
    ------
    UnusableInput
    """
    context = click.get_current_context()
    for option in context.command.params:
        given = context.get_parameter_source(option.name)
        jobs = [job for job in JOBS if option.name in _OWN[job]]
        if not jobs or about in jobs or given is not click.core.ParameterSource.COMMANDLINE:
            continue
        if option.name == "workers":  # a wish of speed; a chop test has nothing to share out
            continue
        other = next((job for job in jobs if job in held), None)
        raise UnusableInput(
            f"the document about {_A[about]} takes no such option, one about {_A[jobs[0]]} does",
            option.opts[0],
            "leave it out" + (f", or add --about {other}" if other else ""),
        )
