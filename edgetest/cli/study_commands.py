"""Commands on studies: new, check, demo, app."""

import re
import shlex
from dataclasses import dataclass, replace
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.seal_command import sealed_plan, sheet_again
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.files import write_atomic


@dataclass(frozen=True)
class Wanted:
    """How a new study is tested, on which blades, and what its log begins with."""

    protocol_id: str | None = root.option(
        "How it is tested: a protocol that comes with the program (`edgetest protocols` lists "
        "them), or a .toml file of yours.", name="--protocol",
    )  # fmt: skip
    title: str | None = root.option("Title of the study; default: the folder's name.")
    blades: tuple = root.option(
        "Id of a blade, with = and its heat treatment where it has one; repeat for each.",
        name="--blade", multiple=True, metavar="ID[=TREATMENT]",
    )  # fmt: skip
    control: str | None = root.option("Id of the control blade.")
    log: Path | None = root.option(
        "A log that you have; its blades, heat treatments and rows are copied.", root.PATH,
        name="--from",
    )  # fmt: skip
    readings: tuple = root.option(
        "Only this reading gets rows in the empty log; repeat for each.", name="--reading",
        multiple=True,
    )  # fmt: skip

    def tables(self):
        """Blades and heat treatments as study.toml holds them."""
        split = [each.partition("=")[::2] for each in self.blades]
        blades = [{"id": b.strip(), **({"heat_treatment": h.strip()} if h.strip() else {})}
                  for b, h in split]  # fmt: skip
        treatments = dict.fromkeys(h.strip() for _, h in split if h.strip())
        return blades, [{"id": treatment} for treatment in treatments]

    def refuse_guesses(self):
        """Refuse a study whose test or blades nobody named: neither is a thing to be guessed.

        Raises
        ------
        ManyFaults
        """
        faults = []
        if self.protocol_id is None:
            mend = (
                "add --protocol with one of those that `edgetest protocols` lists; a mystery "
                "steel needs none, but --steel-for"
            )
            faults.append(UnusableInput("it is not said how it is tested", "edgetest new", mend))
        if not self.blades and self.log is None:
            mend = "name each, as in --blade H1 --blade S1, or give a log with --from"
            faults.append(UnusableInput("no blade is named", "edgetest new", mend))
        for given in self.blades:
            name = given.partition("=")[0].strip()
            if not name or re.search(r"[,;\t]", name):
                parts = [part.strip() for part in re.split(r"[,;\t]", name) if part.strip()]
                mend = " ".join(f"--blade {part}" for part in parts) or "--blade H1=low"
                what = "several blades in one" if name else "a blade without an id"
                faults.append(UnusableInput(f'"{given}" is {what}', "--blade", f"write {mend}"))
        if self.blades and self.log is not None:
            mend = "leave --blade out: the log names its blades"
            faults.append(UnusableInput("both --blade and --from", "edgetest new", mend))
        if faults:
            raise ManyFaults(faults)


@root.command(
    "new", "edgetest new my_study --protocol sisal_rope --blade H1=hard --blade S1=soft\n"
    "  edgetest new my_study --protocol sisal_rope --from old_log.csv\n"
    "  edgetest new my_discs --steel-for 'hedging tool'"
)  # fmt: skip
@root.path_argument("folder")
@root.takes(wanted=Wanted)
@click.option("--steel-for", "use",
              help="Judge a mystery steel for this use instead: chopper, hedging tool, knife, "
              "chisel (a draw knife too). No blade is needed yet.")  # fmt: skip
@click.option("--dry-run", is_flag=True, help="Only say what would be made.")
@root.as_json
def new_command(folder, wanted, use, dry_run, json_):
    """Make a study: study.toml, a log to fill in, and a folder for photographs.

    JSON: {folder, title, protocol, blades}; of a steel {folder, title, use}.
    """
    from edgetest.store.protocol import own_or_shipped
    from edgetest.study.study_from_log import blades_of_log

    title = wanted.title or folder.name.replace("_", " ")
    if use is not None:
        _new_steel(folder, title, use, dry_run, json_)
        return
    wanted.refuse_guesses()
    rules, own = own_or_shipped(wanted.protocol_id, folder)
    log, control = wanted.log, wanted.control
    names = (
        [blade["id"] for blade in blades_of_log(log)[0]]
        if log
        else [b["id"] for b in wanted.tables()[0]]
    )
    names += [control] if control and control not in names else []
    document = {"folder": str(folder), "title": title, "protocol": rules.id, "blades": names}
    place = shlex.quote(str(folder))
    words = f"would make {place} for {rules.title}: blades {', '.join(names)}"
    if not dry_run:
        _make(folder, title, wanted, rules.id, own, names)
        log = "chops.csv as you chop" if rules.log == "chops" else "log.csv as you cut"
        words = (
            f"{place}: fill in study.toml (heat treatments, angles, hardness), then {log}.\n"
            f"Check it with:  edgetest check {place}"
        )
    root.say(document, words, json_)


def _make(folder, title, wanted, protocol_id, own, names):
    """The study on disk, a protocol of one's own copied beside it."""
    from edgetest.store.workspace import new_study
    from edgetest.study.study_from_log import log_for_readings, reading_asked, study_from_log

    if own is not None:
        protocol_id = f"{protocol_id}.toml"
        folder.mkdir(parents=True, exist_ok=True)
        if own.resolve() != (folder / protocol_id).resolve():
            write_atomic(folder / protocol_id, own.read_bytes())
    if wanted.log is not None:
        study_from_log(folder, wanted.log, protocol_id, title, control=wanted.control)
        return
    blades, treatments = wanted.tables()
    facts = {"blades": blades, "heat_treatments": treatments, "control": wanted.control}
    log = log_for_readings(folder, protocol_id, names, wanted.readings)
    reading = reading_asked(folder, protocol_id, wanted.readings)
    new_study(folder, protocol_id, title, **facts, log=log, reading=reading)


def _new_steel(folder, title, use, dry_run, json_):
    """A study of a steel: what it is wanted for, and room for what is seen."""
    from edgetest.store.records import STUDY_FILE
    from edgetest.store.workspace import new_steel_study
    from edgetest.study.steel.row_kinds import spaced
    from edgetest.study.steel.steel_rows import checked_wishes
    from edgetest.study.steel.told_at_entry import WANTED, use_as_read

    wishes = checked_wishes({"use": use}, "--steel-for")
    place, read = shlex.quote(str(folder)), use_as_read(wishes.use or "", use)
    words = f"would make {place} for a steel for: {spaced(wishes.use or '')}\n{read}"
    if not dry_run:
        new_steel_study(folder, title, use=use)
        words = (
            f"{place}: write what you see into {STUDY_FILE}, by `edgetest enter`, or on the app's "
            "page Verdict.\n"
            f"{read}\n{WANTED}\n"
            f"What to do next:  edgetest verdict {place}"
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
              help="0.0.0.0 lets other devices in your own network open it.")  # fmt: skip
@click.option(
    "--also-as",
    multiple=True,
    metavar="NAME",
    help="Another name by which your devices know this machine; repeat for each.",
)
def app_command(workspace, port, address, also_as):
    """Open the app in a browser.

    It answers only under this machine's own names and addresses.
    """
    from edgetest.app import serve

    serve.start(workspace, port=port, address=address, also_as=also_as)


@dataclass(frozen=True)
class PlanWishes:
    """What a study is to show, and what is believed beforehand."""

    ratio: float = root.option(
        "Ratio of lives worth knowing (chop tests: of chops or depths).", float, default=1.25
    )
    sd_blades: float | None = root.option(
        "Scatter between blades (standard deviation of log life), without that of readings.",
        root.ABOVE_ZERO, name="--sd",
    )  # fmt: skip
    history: tuple = root.option(
        "An earlier study on the same protocol, or a folder of studies; repeat for each.",
        root.PATH,
        multiple=True,
    )
    life: float | None = root.option("Cuts that you expect a blade to last.", root.ABOVE_ZERO)
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
    runs: int = root.option(
        "Runs of each blade, each on another roll; pieces of a board for each tool.",
        click.IntRange(1), default=1,
    )  # fmt: skip
    looks: bool = root.option(
        "Fix looks beforehand: look at every number of blades, and stop early.", bool,
        default=False, is_flag=True,
    )  # fmt: skip
    most: int | None = root.option("With --looks: the greatest number of blades of each (8).", int)
    blocks: str | None = root.option(
        "Rolls, boards or days, separated by commas; each board gives a piece to every tool. "
        "Default: one roll, a board for each piece, or the order that a log was begun in."
    )
    seed: int | None = root.option(
        "Number that draws the order alone (that of a log that was begun, else 1); the same draws "
        "the same order.", click.IntRange(0),
    )  # fmt: skip

    def options(self, *, keeps_order, anew=False):
        """The options of a plan; the order that a study has is kept where nothing asks for one."""
        from edgetest.study.wear.plan_options import ONE_ROLL, PlanOptions

        blocks: tuple | None = ONE_ROLL
        if self.blocks is not None:
            blocks = tuple(name.strip() for name in self.blocks.split(",") if name.strip())
        elif keeps_order and self.seed is None and self.runs == 1:
            blocks = None
        return PlanOptions(**{**vars(self), "blocks": blocks}, anew=anew)


@root.command(
    "plan", "edgetest plan my_study --ratio 1.25 --blocks 'roll 1,roll 2,roll 3' --seed 7"
)
@root.path_argument("folder")
@root.takes(wishes=PlanWishes)
@click.option(
    "--blinded",
    is_flag=True,
    help="Put codes in place of the blades' names; asks for a word that seals them.",
)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4")
@click.option("--anew", is_flag=True, help="Draw anew; of a wear test only what is left.")
@click.option("--dry-run", is_flag=True, help="Only show the plan; write nothing.")
@root.as_json
def plan_command(folder, wishes, blinded, paper, anew, dry_run, json_):
    """How many blades or pieces, at which cuts, in which order; with bench sheet and empty log.

    If the names are sealed, it writes the bench sheet again. A reading that you do not take has
    no boxes once its column is deleted from the empty log.
    """
    from edgetest.report.documents.bench_sheet import build_bench_sheet
    from edgetest.study.bench.blinding import is_sealed
    from edgetest.study.sources import open_source
    from edgetest.study.wear.planning import make_plan
    from edgetest.study.wear.saved_plan import log_begun, runs_due, save_plan

    source = open_source(folder)
    if is_sealed(source.study) and not (blinded or dry_run):
        sheet_again(source, paper, json_)
        return
    progress = None if json_ else root.Bar("working")
    options = wishes.options(keeps_order=log_begun(source) and not (anew or blinded), anew=anew)
    if blinded:
        made, source = sealed_plan(source, options, dry_run, progress)
    else:
        made = make_plan(source, options, progress=progress)
        made = made if dry_run else replace(made, files=tuple(save_plan(source, made, anew=anew)))
    if not dry_run and made.left != ():
        due = runs_due(source, made) if anew or made.left else made
        sheet = build_bench_sheet(source, due, folder, promise=made.need.in_short(), paper=paper)
        made = replace(made, files=(*made.files, *sheet))
    root.say(made.to_dict(), made.summary(), json_)


@root.command("repeatability", "edgetest repeatability repeats.csv --by operator --save my_study")
@root.path_argument("table")
@click.option("--reading", help="Column of readings; default: the study's, else edge_width_um.")
@click.option("--by", default="operator", show_default=True, help="Column of people or set-ups.")
@click.option("--absolute", is_flag=True,
              help="Spreads in the reading's unit, not as per cent of it.")  # fmt: skip
@click.option("--save", "study", type=root.PATH,
              help="Study that keeps the result, for its fit, comparison and plan.")  # fmt: skip
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
    used = f"Kept in {saved}; fit, compare and plan of this study now use it"
    words += f"\n{found.used_words(used)}" if saved else ""
    root.say({**found.to_dict(), "saved": str(saved) if saved else None}, words, json_)
