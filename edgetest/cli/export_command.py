"""The command that takes tables, figures or a whole study away: export."""

from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.wear_commands import WearQuestion
from edgetest.errors import UnusableInput


@root.command("export", "edgetest export my_study --to figures_and_tables\n"
              "  edgetest export my_study --zip my_study.zip")  # fmt: skip
@root.path_argument("study")
@click.option("--to", "folder", type=root.PATH,
              help="Folder for tables (CSV, XLSX) and figures (SVG, PNG).")  # fmt: skip
@click.option("--zip", "archive", type=root.PATH, help="File for the whole study as one zip.")
@root.takes(question=WearQuestion)
@root.as_json
def export_command(study, question, folder, archive, json_):
    """Tables and figures of a study's answer as files, or the whole study as one zip.

    Without an option, tables and figures go into the folder `export` of the study: of every job
    that it holds, such as a steel and the blades cut of it. The document is written by `edgetest
    report`.

    \b
    Tables: lives (cut blades); figures (a chop test: strokes for each piece, ratios
    of tools, dulling, damage, depth, swing, each with its interval); chances (found
    steel); log (the rows as typed; `edgetest chop` and `edgetest fit` read it again).

    JSON: {files, left_out: what else was asked for and cannot be answered yet}.
    """  # noqa: D301 - click wants the real \b
    from edgetest.report.taken_away import take_away
    from edgetest.study.answers import answers_of
    from edgetest.study.sources import open_source

    files, unsaid = [], []
    if archive is not None:
        files.append(_zipped(study, archive))
    if folder is not None or archive is None:
        source = open_source(study)
        progress = None if json_ else root.Bar("measuring")
        found, unsaid = answers_of(source, progress=progress, **vars(question))
        place = folder or (Path(study) if source.path.is_dir() else Path(".")) / "export"
        files += take_away(found, source, place)
    names = [str(path) for path in files]
    left = [f"left out: {words}" for words in unsaid]
    root.say({"files": names, "left_out": unsaid}, "\n".join([*names, *left]), json_)


def _zipped(study, archive):
    """The whole study as one file.

    Raises
    ------
    UnusableInput
        Where the folder of the file is not there.
    """
    from edgetest.store.export import export_study

    if not archive.absolute().parent.is_dir():
        raise UnusableInput(
            "there is no such folder", str(archive.parent), "make it, or name a file elsewhere"
        )
    if archive.is_dir():
        mend = "give the name of a file, such as my_study.zip"
        raise UnusableInput("this is a folder", str(archive), mend)
    return export_study(study, archive)
