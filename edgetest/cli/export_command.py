"""The command that takes tables, figures or a whole study away: export."""

from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.wear_commands import WearQuestion


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

    Without an option, tables and figures go into the folder `export` of the study. The document
    is written by `edgetest report`. JSON: {files}.
    """
    from edgetest.report.taken_away import take_away
    from edgetest.store.export import export_study
    from edgetest.store.files import write_atomic
    from edgetest.study.answers import answer_of
    from edgetest.study.sources import open_source

    files = []
    if archive is not None:
        files.append(write_atomic(archive, export_study(study)))
    if folder is not None or archive is None:
        source = open_source(study)
        progress = None if json_ else root.Bar("measuring")
        result = answer_of(source, progress=progress, **vars(question))
        place = folder or (Path(study) if source.path.is_dir() else Path(".")) / "export"
        files += take_away(result, source, place)
    names = [str(path) for path in files]
    root.say({"files": names}, "\n".join(names), json_)
