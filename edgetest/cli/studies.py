"""Commands on studies: new, check, demo, app."""

from pathlib import Path

import click

from edgetest.cli.root import Bar, as_json, command, path_argument, say


@command("new", "edgetest new my_study --protocol sisal_rope --blade H1 --blade S1 --control C1")
@path_argument("folder")
@click.option("--protocol", "protocol_id", default="sisal_rope", show_default=True,
              help="A protocol that comes with the program, or a .toml in the folder.")  # fmt: skip
@click.option("--title", help="What the study is called; default: the folder's name.")
@click.option("--blade", "blades", multiple=True, help="Id of a blade; repeat for each.")
@click.option("--control", help="Id of the control blade.")
@click.option("--dry-run", is_flag=True, help="Only say what would be made.")
@as_json
def new(folder, protocol_id, title, blades, control, dry_run, json_):
    """Make an empty study: study.toml, a log to fill in, and a folder for photographs."""
    from edgetest.protocol import load_protocol
    from edgetest.workspace import new_study

    title = title or folder.name.replace("_", " ")
    blades = blades or ("A1", "A2", "A3", "B1", "B2", "B3")
    if dry_run:
        rules = load_protocol(protocol_id, folder)
        words = f"would make {folder} for {rules.title}: blades {', '.join(blades)}"
        say({"folder": str(folder), "protocol": rules.id, "blades": list(blades)}, words, json_)
        return
    study = new_study(folder, protocol_id, title, blades=blades, control=control)
    say(
        {"folder": str(folder), "title": study.title, "blades": [each.id for each in study.blades]},
        f"{folder}: fill in study.toml (heat treatments, angles, hardness), then the log as you "
        f"cut.\nCheck it with:  edgetest check {folder}",
        json_,
    )


@command("check", "edgetest check my_study")
@path_argument("log")
@as_json
def check(log, json_):
    """Every fault of a study or a log, by file, row and column, with its mend."""
    from edgetest.study.overview import overview
    from edgetest.study.sources import open_source

    found = overview(open_source(log))
    say(found.to_dict(), found.summary(), json_)
    return 2 if found.faults else 0


@command("demo", "edgetest demo --to my_demo")
@click.option("--to", "folder", type=click.Path(path_type=Path), default=Path("edgetest_demo"),
              show_default=True, help="Folder for what the demo makes.")  # fmt: skip
@click.option("--workers", type=int, default=2, show_default=True, help="Processes.")
@as_json
def demo(folder, workers, json_):
    """Run the whole job on an invented study: measure, fit, compare, draw, write the document."""
    from edgetest.demo import run_demo

    done = run_demo(folder, workers=workers, progress=None if json_ else Bar("measuring"))
    say(done.to_dict(), done.summary(), json_)


@command("app", "edgetest app --workspace my_studies")
@click.option("--workspace", type=click.Path(path_type=Path), default=Path("edgetest_studies"),
              show_default=True, help="Folder that holds your studies.")  # fmt: skip
@click.option("--port", type=int, default=8501, show_default=True)
@click.option("--address", default="127.0.0.1", show_default=True,
              help="0.0.0.0 lets other devices of your own network in.")  # fmt: skip
def app(workspace, port, address):
    """Open the app in a browser."""
    from edgetest.app import serve

    serve.start(workspace, port=port, address=address)
