"""Plan a comparison: how many blades, at which cuts, in which order, under which code."""

from dataclasses import dataclass
from itertools import product
from pathlib import Path

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import checked_level
from edgetest.store.files import write_atomic
from edgetest.store.records import STUDY_FILE
from edgetest.store.workspace import change_study, log_path, write_table
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse
from edgetest.study.wear.kept_repeats import REPEATS_FILE, kept_repeats
from edgetest.study.wear.plan_result import NOT_NAMED, Plan
from edgetest.wear.compare.shop_history import learn_scatter
from edgetest.wear.plan.run_order import balanced_order, blind_codes, seal_key
from edgetest.wear.plan.stage_schedule import ExpectedWear, best_schedule
from edgetest.wear.plan.study_design import Sampling, plan_study

KEY_FILE = "sealed_key.json"
# Blade-to-blade SD of log life where the shop has no history; common practice, no source.
ASSUMED_SD = 0.15
# Relative uncertainty of one reading where none is known; common practice, no source.
ASSUMED_CV = 0.05
FRESH_UM = 2.5


def shop_history(folders, *, workers=2, progress=None):
    """Scatter between blades in earlier studies; None for no folder.

    Raises
    ------
    UnusableInput
        If an earlier study tells nothing of the scatter (one blade a heat treatment).
    """
    sd, df = [], []
    for folder in folders:
        result = analyse(open_source(folder), workers=workers, progress=progress)
        groups = result.comparison.groups if result.comparison else ()
        free = sum(group.n - 1 for group in groups)
        if free < 1:
            raise UnusableInput(
                "this study has no heat treatment with two blades or more",
                where=str(folder),
                mend="leave it out of the history",
            )
        squares = sum((group.n - 1) * group.sd_log_life**2 for group in groups if group.n > 1)
        sd.append(max((squares / free) ** 0.5, 1e-3))
        df.append(free)
    return learn_scatter(sd, df) if sd else None


@dataclass(frozen=True)
class PlanOptions:
    """What a study is to show, and what is believed beforehand.

    Attributes
    ----------
    ratio : float
        Ratio of lives worth knowing.
    sd_blades : float, optional
        Blade-to-blade SD of log life; default: from `history`, else assumed.
    history : sequence of path
        Earlier studies on the same protocol.
    blocks : sequence of str
        Rolls, boards or days, in the order in which they come.
    seed : int
        The same seed gives the same order and codes.
    life : float, optional
        Cuts that a blade is thought to last; default: two thirds of the last stage.
    fresh_um : float
        Fresh edge width.
    reading_cv : float, optional
        Relative uncertainty of one reading; default: from the study's kept repeatability,
        else assumed.
    power, level : float
        Chance to show the ratio; coverage of the interval.
    """

    ratio: float = 1.25
    sd_blades: float | None = None
    history: tuple[Path, ...] = ()
    blocks: tuple[str, ...] = ("roll 1",)
    seed: int = 1
    life: float | None = None
    fresh_um: float = FRESH_UM
    reading_cv: float | None = None
    power: float = 0.8
    level: float = 0.95


USUAL_PLAN = PlanOptions()


def make_plan(source, options=USUAL_PLAN, *, workers=2, progress=None):
    """Plan the study of a source.

    Parameters
    ----------
    source : Source
        A study; its protocol gives stages, stations and limit, its blades the runs.
    options : PlanOptions
    workers, progress
        For photographs of earlier studies; see `edgetest.study.photos.measure_photos`.

    Returns
    -------
    (Plan, str)
        The plan and the key to the blades' codes, to be sealed away.

    Raises
    ------
    UnusableInput
        For a log without a study, an earlier study that tells nothing of the scatter, or a
        level that is none.
    """
    checked_level(options.level)
    study, rules = source.study, source.protocol
    if study is None:
        raise UnusableInput(
            "a plan needs a study", str(source.path), "make one with `edgetest new`"
        )
    known = shop_history(options.history, workers=workers, progress=progress)
    sd_blades = options.sd_blades
    if sd_blades is None:
        sd_blades = known.sd_log_life if known else ASSUMED_SD
    limit = study.limit_value if isinstance(study.limit_value, float | int) else 12.0
    reading_cv, cv_from = _reading_cv(source, options.reading_cv, limit)
    life = options.life or rules.stages[-1] * 2 / 3
    believed = ExpectedWear(life, options.fresh_um, float(limit), reading_cv=reading_cv)
    need = plan_study(
        options.ratio,
        sd_blades,
        Sampling(rules.stages, max(len(rules.stations_mm), 1)),
        believed,
        power=options.power,
        level=options.level,
        sd_df=known.df if known else None,
    )
    schedule = best_schedule(max(len(rules.stages), 3), rules.stages[-1], believed)
    rng = np.random.default_rng(options.seed)
    blades = {
        blade.id: blade.heat_treatment or NOT_NAMED
        for blade in study.blades
        if blade.id != study.control
    }
    runs = balanced_order(blades, options.blocks, rng, control=study.control)
    codes = blind_codes([blade.id for blade in study.blades], rng)
    key, fingerprint = seal_key(codes, rng)
    made = Plan(
        title=study.title,
        need=need,
        schedule=schedule,
        runs=runs,
        codes=codes,
        fingerprint=fingerprint,
        seed=options.seed,
        history=known,
        sd_assumed=options.sd_blades is None and known is None,
        reading_cv=reading_cv,
        reading_cv_from=cv_from,
    )
    return made, key


def _reading_cv(source, given, limit):
    """Relative uncertainty of one reading, and where it comes from."""
    if given is not None:
        return given, "given"
    kept = kept_repeats(source.path).get(source.study.reading_name)
    if kept is None:
        return ASSUMED_CV, "assumed"
    return kept.relative_at(float(limit)), f"{REPEATS_FILE} ({kept.words()})"


def usual_blocks(source):
    """Names of as many rolls, boards or days as each heat treatment has blades."""
    study = source.study
    of = [blade.heat_treatment for blade in study.blades if blade.id != study.control]
    count = min(of.count(name) for name in of) if of else 1
    word = "roll" if "rope" in source.protocol.medium.kind else "day"
    return tuple(f"{word} {number}" for number in range(1, count + 1))


def save_plan(source, made, key, *, blinded=False):
    """Write the plan into the study: run order, sealed key, and the log's empty rows.

    A log that holds readings is left as it is. `blinded` is kept with the plan: the bench
    then shows codes in place of the blades' names.

    Returns
    -------
    list of Path
        What was written.
    """
    folder = source.path
    order = [[run.block, run.blade] for run in made.runs]
    table = {"seed": made.seed, "order": order, "fingerprint": made.fingerprint}
    if blinded:
        table["blinded"] = True
    change_study(folder, lambda now: now.model_copy(update={"plan": table}))
    written = [Path(folder) / STUDY_FILE]
    written.append(write_atomic(Path(folder) / KEY_FILE, key + "\n"))
    if source.protocol.log == "log" and not any(
        row.readings or row.photo for row in source.log.rows
    ):
        path = log_path(folder)
        path = path if path is not None and path.suffix == ".csv" else Path(folder) / "log.csv"
        written.append(write_table(path, empty_log(source.protocol, made.runs)))
    return written


def empty_log(rules, runs):
    """Heading and one row for every reading of every run, in the order they are taken."""
    names = [rule.name for rule in rules.readings]
    photo = ["photo"] if "edge_width_um" in names else []
    heading = ["blade", "block", "cuts", "station_mm", *names, *photo, "operator", "mishap",
               "exclude", "note"]  # fmt: skip
    of_block: dict[str, list] = {}
    for run in runs:
        of_block.setdefault(run.block, []).append(run)
    starts = [
        [run.blade, block, str(stage), place]
        for block, members in of_block.items()
        for stage, run, place in product(rules.stages, members, _places(rules))
    ]
    return [heading, *(row + [""] * (len(heading) - len(row)) for row in starts)]


def _places(rules):
    """Stations along the edge that a stage reads, and "" for what is read of the whole blade."""
    stationed = {rule.at_stations for rule in rules.readings}
    places = [f"{place:g}" for place in rules.stations_mm] if True in stationed else []
    return ["", *places] if False in stationed or not places else places
