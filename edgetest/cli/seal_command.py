"""Names put under seal by a plan, and the command that brings them back: unseal."""

import sys
from dataclasses import replace

import click
from click.core import ParameterSource

from edgetest.cli import root
from edgetest.errors import UnusableInput


def sealed_plan(source, options, dry_run, progress):
    """A plan whose names are sealed under a word that is asked for; nothing of it names a blade.

    Returns
    -------
    (Plan, Source)
        Codes in place of names, and the study as it holds them now.
    """
    from edgetest.study.bench.sealing import seal_names, secret_seed
    from edgetest.study.sources import open_source
    from edgetest.study.wear.plan_result import SCATTER_ASSUMED
    from edgetest.study.wear.planning import make_plan

    if click.get_current_context().get_parameter_source("seed") is ParameterSource.COMMANDLINE:
        raise UnusableInput(
            "who knows the number draws the same order again, and the turns tell the blades",
            "--seed",
            "leave it out with --blinded",
        )
    made = make_plan(source, replace(options, seed=secret_seed()), progress=progress)
    runs, files = (), []
    if not dry_run:
        word = _asked("Word that opens the names again, for a second person to keep", twice=True)
        runs, files = seal_names(source, made, word)
    unnamed = tuple(one for one in made.doubts if one.code in SCATTER_ASSUMED)
    made = replace(made, runs=runs, seed=None, doubts=unnamed, files=tuple(files),
                   names={})  # fmt: skip
    return made, open_source(source.path)


def _asked(words, *, twice=False):
    """A word that is not shown while it is typed; a script may send it to standard input."""
    again = "The same word again" if twice else False
    hidden = sys.stdin.isatty()
    return click.prompt(words, hide_input=hidden, confirmation_prompt=again, err=True)


def sheet_again(source, paper, json_):
    """Print the bench sheet of a sealed study once more; its order stands."""
    from edgetest.report.documents.bench_sheet import build_bench_sheet
    from edgetest.study.bench.bench_order import kept_order

    order = kept_order(source.study)
    files = [str(path) for path in build_bench_sheet(source, order, source.path, paper=paper)]
    runs = [run.to_dict() for run in order.runs]
    words = "The names are sealed and the order stands; the bench sheet is printed again."
    document = {"title": source.title, "runs": runs, "files": files, "summary": words}
    root.say(document, "\n".join([words, *(f"  {file}" for file in files)]), json_)


@root.command("unseal", "edgetest unseal my_study --labels")
@root.path_argument("study")
@click.option(
    "--labels",
    is_flag=True,
    help="Only show which code is tied on which blade; the names stay sealed.",
)
@click.option(
    "--sealed",
    type=root.PATH,
    help="The file with the sealed names, if it is not in the study.",
)
@root.as_json
def unseal_command(study, labels, sealed, json_):
    """Bring back the names that `plan --blinded` sealed; asks for the word.

    The blades keep their codes and get their names as titles, with heat treatments and notes.
    The history says when the names were unsealed, or only read. JSON: {codes: code by blade,
    unsealed, summary}.
    """
    from edgetest.study.bench.unsealing import labels_of, sealed_study, unseal_names

    sealed_study(study)
    word = _asked("Word that opens the names")
    codes = (labels_of if labels else unseal_names)(study, word, sealed=sealed)
    words = "Tie these on; who cuts and reads should not see them." if labels else (
        "The names are back as the blades' titles; log and photographs keep the codes."
    )  # fmt: skip
    lines = [words, *(f"{blade}  {code}" for blade, code in codes.items())]
    document = {"codes": codes, "unsealed": not labels, "summary": words}
    root.say(document, "\n".join(lines), json_)
