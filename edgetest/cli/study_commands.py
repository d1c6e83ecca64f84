"""Commands on studies: new, check, demo, app."""

from pathlib import Path

import click

from edgetest.cli.root import ABOVE_ZERO, Bar, as_json, command, path_argument, say
from edgetest.errors import ManyFaults


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
    from edgetest.store.protocol import load_protocol
    from edgetest.store.workspace import new_study

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
    from edgetest.study.overview import overview, overview_of_faults
    from edgetest.study.sources import open_source

    try:
        found = overview(open_source(log))
    except ManyFaults as faults:
        found = overview_of_faults(log, faults)
    say(found.to_dict(), found.summary(), json_)
    return 2 if found.faults else 0


@command("demo", "edgetest demo --to my_demo")
@click.option("--to", "folder", type=click.Path(path_type=Path), default=Path("edgetest_demo"),
              show_default=True, help="Folder for what the demo makes.")  # fmt: skip
@click.option("--workers", type=int, default=2, show_default=True, help="Processes.")
@as_json
def demo(folder, workers, json_):
    """Run the whole job on an invented study: measure, fit, compare, draw, write the document."""
    from edgetest.cli.demo import run_demo

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


@command("plan", "edgetest plan my_study --ratio 1.25 --blocks 'roll 1,roll 2,roll 3' --seed 7")
@path_argument("folder")
@click.option("--ratio", type=float, default=1.25, show_default=True,
              help="Ratio of lives worth knowing.")  # fmt: skip
@click.option("--sd", "sd_blades", type=ABOVE_ZERO, help="Scatter of log life between blades.")
@click.option("--history", multiple=True, type=click.Path(path_type=Path),
              help="An earlier study on the same protocol; repeat for each.")  # fmt: skip
@click.option("--life", type=ABOVE_ZERO, help="Cuts that a blade is thought to last.")
@click.option("--reading-cv", type=ABOVE_ZERO,
              help="Relative uncertainty of one reading; default: the study's repeatability, "
                   "else 0.05.")  # fmt: skip
@click.option("--power", type=float, default=0.8, show_default=True,
              help="Chance to show the ratio if it is true.")  # fmt: skip
@click.option("--blocks", default="roll 1", show_default=True,
              help="Rolls, boards or days, separated by commas.")  # fmt: skip
@click.option("--seed", type=int, default=1, show_default=True, help="Of order and codes.")
@click.option("--blinded", is_flag=True,
              help="Codes instead of names, on the bench sheet and at the bench.")  # fmt: skip
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4")
@click.option("--dry-run", is_flag=True, help="Only show the plan; write nothing.")
@as_json
def plan(folder, ratio, sd_blades, history, life, reading_cv, power, blocks, seed, blinded, paper,
         dry_run, json_):  # fmt: skip
    """How many blades, at which cuts, in which order; with the bench sheet and the empty log."""
    from dataclasses import replace

    from edgetest.report.documents.bench_sheet import build_bench_sheet
    from edgetest.study.sources import open_source
    from edgetest.study.wear import planning

    source = open_source(folder)
    made, key = planning.plan(
        source, ratio=ratio, sd_blades=sd_blades, history=history, life=life,
        reading_cv=reading_cv, power=power, seed=seed,
        blocks=[name.strip() for name in blocks.split(",") if name.strip()],
        progress=None if json_ else Bar("measuring"),
    )  # fmt: skip
    if not dry_run:
        files = planning.save_plan(source, made, key, blinded=blinded)
        files += build_bench_sheet(source, made, folder, blinded=blinded, paper=paper)
        made = replace(made, files=tuple(files))
    say(made.to_dict(), made.summary(), json_)


@command("repeatability", "edgetest repeatability repeats.csv --by operator --save my_study")
@path_argument("table")
@click.option("--reading", help="Column of readings; default: the study's, else edge_width_um.")
@click.option("--by", default="operator", show_default=True, help="Column of people or set-ups.")
@click.option("--absolute", is_flag=True, help="Spreads in the reading's unit, not as shares.")
@click.option("--save", "study", type=click.Path(path_type=Path),
              help="Study to keep the result with, for its fit, comparison and plan.")  # fmt: skip
@as_json
def repeatability(table, reading, by, absolute, study, json_):
    """Is it the blade or the measuring: the same edge read again, by one or more people.

    After ISO 5725-2. TABLE is a CSV or XLSX with one reading a row; or a study whose
    repeats.csv (or .xlsx) holds them, which then keeps the result.
    """
    from edgetest.store.records import load_study
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.wear.kept_repeats import keep_repeats
    from edgetest.study.wear.repeats import repeatability_of, repeats_table

    study = study or (table if table.is_dir() else None)
    table = existing(repeats_table(table))
    reading = reading or (load_study(study).reading_name if study else "edge_width_um")
    found = repeatability_of(table, reading=reading, by=by, relative=not absolute)
    saved = keep_repeats(study, reading, found.spread, table=table.name) if study else None
    words = found.summary()
    if saved:
        words += f"\nKept in {saved}; fit, compare and plan of this study now use it."
    say({**found.to_dict(), "saved": str(saved) if saved else None}, words, json_)
