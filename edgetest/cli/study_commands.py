"""Commands on studies: new, check, demo, app."""

from dataclasses import dataclass, replace
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.errors import ManyFaults


@root.command(
    "new", "edgetest new my_study --protocol sisal_rope --blade H1 --blade S1 --control C1"
)
@root.path_argument("folder")
@click.option("--protocol", "protocol_id", default="sisal_rope", show_default=True,
              help="A protocol that comes with the program, or a .toml in the folder.")  # fmt: skip
@click.option("--title", help="What the study is called; default: the folder's name.")
@click.option("--blade", "blades", multiple=True, help="Id of a blade; repeat for each.")
@click.option("--control", help="Id of the control blade.")
@click.option("--steel-for", "use",
              help="Judge a mystery steel for this use instead: chopper, hedging tool, knife, "
              "chisel. No blade is needed yet.")  # fmt: skip
@click.option("--dry-run", is_flag=True, help="Only say what would be made.")
@root.as_json
def new_command(folder, protocol_id, title, blades, control, use, dry_run, json_):
    """Make an empty study: study.toml, a log to fill in, and a folder for photographs."""
    from edgetest.store.protocol import load_protocol
    from edgetest.store.workspace import new_study

    title = title or folder.name.replace("_", " ")
    if use is not None:
        _new_steel(folder, title, use, dry_run, json_)
        return
    blades = blades or ("A1", "A2", "A3", "B1", "B2", "B3")
    if dry_run:
        rules = load_protocol(protocol_id, folder)
        words = f"would make {folder} for {rules.title}: blades {', '.join(blades)}"
        root.say(
            {"folder": str(folder), "protocol": rules.id, "blades": list(blades)}, words, json_
        )
        return
    study = new_study(folder, protocol_id, title, blades=blades, control=control)
    root.say(
        {"folder": str(folder), "title": study.title, "blades": [each.id for each in study.blades]},
        f"{folder}: fill in study.toml (heat treatments, angles, hardness), then the log as you "
        f"cut.\nCheck it with:  edgetest check {folder}",
        json_,
    )


def _new_steel(folder, title, use, dry_run, json_):
    """A study of a steel: what it is wanted for, and room for what is seen."""
    from edgetest.store.records import STUDY_FILE
    from edgetest.store.workspace import new_steel_study
    from edgetest.study.steel.steel_rows import checked_wishes

    wishes = checked_wishes({"use": use}, "--steel-for")
    words = f"would make {folder} for a steel for: {wishes.use}"
    if not dry_run:
        new_steel_study(folder, title, use=use)
        words = (
            f"{folder}: write what you see into {STUDY_FILE}, or on the app's page Verdict.\n"
            f"What to do next:  edgetest verdict {folder}"
        )
    root.say({"folder": str(folder), "title": title, "use": wishes.use}, words, json_)


@root.command("check", "edgetest check my_study")
@root.path_argument("log")
@root.as_json
def check_command(log, json_):
    """Every fault of a study or a log, by file, row and column, with its mend."""
    from edgetest.study.overview import overview, overview_of_faults
    from edgetest.study.sources import open_source

    try:
        found = overview(open_source(log))
    except ManyFaults as faults:
        found = overview_of_faults(log, faults)
    root.say(found.to_dict(), found.summary(), json_)
    return 2 if found.faults else 0


@root.command("demo", "edgetest demo --to my_demo")
@click.option("--to", "folder", type=root.PATH, default=Path("edgetest_demo"),
              show_default=True, help="Folder for what the demo makes.")  # fmt: skip
@root.workers_option
@root.as_json
def demo_command(folder, workers, json_):
    """Run the whole job on an invented study: measure, fit, compare, draw, write the document."""
    from edgetest.cli.demo import run_demo

    done = run_demo(folder, workers=workers, progress=None if json_ else root.Bar("working"))
    root.say(done.to_dict(), done.summary(), json_)


@root.command("app", "edgetest app --workspace my_studies")
@click.option("--workspace", type=root.PATH, default=Path("edgetest_studies"),
              show_default=True, help="Folder that holds your studies.")  # fmt: skip
@click.option("--port", type=int, default=8501, show_default=True)
@click.option("--address", default="127.0.0.1", show_default=True,
              help="0.0.0.0 lets other devices of your own network in.")  # fmt: skip
def app_command(workspace, port, address):
    """Open the app in a browser."""
    from edgetest.app import serve

    serve.start(workspace, port=port, address=address)


@dataclass(frozen=True)
class PlanWishes:
    """What a study is to show, and what is believed beforehand."""

    ratio: float = root.option(
        "Ratio of lives worth knowing (chop tests: of chops or depths).", float, default=1.25
    )
    sd_blades: float | None = root.option(
        "Scatter of log life between blades, readings left out.", root.ABOVE_ZERO, name="--sd"
    )
    history: tuple = root.option(
        "An earlier study on the same protocol; repeat for each.", root.PATH, multiple=True
    )
    life: float | None = root.option("Cuts that a blade is thought to last.", root.ABOVE_ZERO)
    fresh: float | None = root.option(
        "What a fresh edge reads, in the unit of the reading; chop tests: chops a piece takes.",
        root.ABOVE_ZERO,
    )
    limit: float | None = root.option(
        "Reading that ends a life, in its unit; default: the study's.", root.ABOVE_ZERO
    )
    reading_cv: float | None = root.option(
        "Relative uncertainty of one reading; default: the study's repeatability, else 0.05.",
        root.ABOVE_ZERO,
    )
    power: float = root.option("Chance to show the ratio if it is true.", float, default=0.8)
    runs: int = root.option("Times each blade is cut, each under another roll.", int, default=1)
    looks: bool = root.option(
        "Fix looks beforehand: read the test at every blade a side, and end it early.", bool,
        default=False, is_flag=True,
    )  # fmt: skip
    most: int | None = root.option("With looks: greatest number of blades a side (8).", int)
    blocks: str = root.option("Rolls, boards or days, separated by commas.", default="roll 1")
    seed: int = root.option("Of order and codes.", int, default=1)


@root.command(
    "plan", "edgetest plan my_study --ratio 1.25 --blocks 'roll 1,roll 2,roll 3' --seed 7"
)
@root.path_argument("folder")
@root.takes(wishes=PlanWishes)
@click.option("--blinded", is_flag=True,
              help="Codes instead of names, on the bench sheet and at the bench.")  # fmt: skip
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4")
@click.option("--dry-run", is_flag=True, help="Only show the plan; write nothing.")
@root.as_json
def plan_command(folder, wishes, blinded, paper, dry_run, json_):
    """How many blades, at which cuts, in which order; with the bench sheet and the empty log."""
    from edgetest.report.documents.bench_sheet import build_bench_sheet
    from edgetest.study.sources import open_source
    from edgetest.study.wear.planning import PlanOptions, make_plan
    from edgetest.study.wear.saved_plan import save_plan

    source = open_source(folder)
    blocks = [name.strip() for name in wishes.blocks.split(",") if name.strip()]
    progress = None if json_ else root.Bar("working")
    options = PlanOptions(**{**vars(wishes), "blocks": tuple(blocks)})
    made, key = make_plan(source, options, progress=progress)
    if not dry_run:
        files = save_plan(source, made, key, blinded=blinded)
        files += build_bench_sheet(source, made, folder, blinded=blinded, paper=paper)
        made = replace(made, files=tuple(files))
    root.say(made.to_dict(), made.summary(), json_)


@root.command("repeatability", "edgetest repeatability repeats.csv --by operator --save my_study")
@root.path_argument("table")
@click.option("--reading", help="Column of readings; default: the study's, else edge_width_um.")
@click.option("--by", default="operator", show_default=True, help="Column of people or set-ups.")
@click.option("--absolute", is_flag=True, help="Spreads in the reading's unit, not as shares.")
@click.option("--save", "study", type=root.PATH,
              help="Study to keep the result with, for its fit, comparison and plan.")  # fmt: skip
@root.as_json
def repeatability_command(table, reading, by, absolute, study, json_):
    """Is it the blade or the measuring: the same edge read again, by one or more people.

    After ISO 5725-2. TABLE is a CSV or XLSX with one reading a row; or a study whose
    repeats.csv (or .xlsx) holds them, which then keeps the result.
    A column "edge" tells several edges apart; each is then judged by itself.
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
    root.say({**found.to_dict(), "saved": str(saved) if saved else None}, words, json_)
