"""What does one study give to the shop's memory: its facts, and the lives of its runs?"""

from collections import defaultdict
from dataclasses import asdict, dataclass
from hashlib import sha256
from math import isfinite, log, sqrt

from edgetest.errors import UnusableInput
from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import curves_of

CONTROL = "control blade"
NO_LIFE = (
    "no blade has a life; cut to more stages, or give the study a limit that its fresh edges have "
    "not passed"
)
WIDEST = 2.0  # of a life known to lie between two stages, later over earlier; own choice


@dataclass(frozen=True)
class ArmLife:
    """Log of the life of one run; `arm` is what the blade stands for: steel and heat treatment.

    `batch` is the oven load that the blade came out of; "" where it is not noted. `read` stands
    for the blade and all of its readings: alike in a copy of the study; "" where none is known.
    """

    arm: str
    blade: str
    block: str
    log_life: float
    log_life_se: float
    batch: str = ""
    read: str = ""


@dataclass(frozen=True)
class StudyLives:
    """A study as the shop remembers it.

    Attributes
    ----------
    control : str
        The arm of the control blade; "" where none was run.
    bounds : tuple of str
        Arms of which a run's life is only a bound.
    fault : str
        Why the study gives no life; "" where it does.
    """

    name: str
    title: str = ""
    date: str = ""
    maker: str = ""
    protocol: str = ""
    reading: str = ""
    limit: float | None = None
    invented: bool = False
    words: str = ""
    control: str = ""
    runs: tuple[ArmLife, ...] = ()
    bounds: tuple[str, ...] = ()
    fault: str = ""

    @property
    def read_runs(self):
        """Runs of the arms whose lives can all be read: the rest alone would mislead."""
        return tuple(run for run in self.runs if run.arm not in self.bounds)

    def to_dict(self):
        """JSON-plain values."""
        return asdict(self)

    @classmethod
    def from_dict(cls, values):
        """As `to_dict` gave it."""
        runs = tuple(ArmLife(**each) for each in values["runs"])
        return cls(**values | {"runs": runs, "bounds": tuple(values["bounds"])})


def lives_of_study(folder, *, workers=2, progress=None):
    """Facts and lives of a study; what stands in the way is a fault of the record, not raised.

    Parameters
    ----------
    folder : Path
    workers, progress
        For photographs that are not measured yet.

    Returns
    -------
    StudyLives
    """
    try:
        source = open_source(folder)
    except UnusableInput as fault:
        return StudyLives(folder.name, fault=str(fault))
    facts = _facts(folder, source)
    if source.chop_test or not source.log.rows:
        return StudyLives(**facts, fault="no wear of an edge was logged")
    try:
        found = curves_of(source, workers=workers, progress=progress)
    except UnusableInput as fault:
        return StudyLives(**facts, fault=str(fault))
    runs, bounds = _runs(source.study, found)
    limit = found.limit if isinstance(found.limit, float) and isfinite(found.limit) else None
    why = "" if runs else NO_LIFE
    return StudyLives(
        **facts | {"reading": found.reading}, limit=limit, runs=runs, bounds=bounds, fault=why,
        control=_arms(source.study).get(source.study.control, ""),
    )  # fmt: skip


def _facts(folder, source):
    """Facts of study and log, and the words by which it is found."""
    study = source.study
    days = sorted(row.date for row in source.log.rows if row.date)
    parts = [study.title, study.maker, study.tested_by, study.protocol_name, study.notes]
    parts += [source.protocol.title if source.protocol else "", folder.name]
    parts += [*dict.fromkeys(days), study.date]
    parts += [each for b in study.blades for each in (b.id, b.title, b.kind, b.steel, b.piece)]
    parts += [each for h in study.heat_treatments for each in (h.id, h.title, h.words())]
    return {
        "name": folder.name,
        "title": study.title,
        "date": days[-1] if days else study.date,
        "maker": study.maker,
        "protocol": study.protocol_name,
        "reading": study.reading_name,
        "invented": study.invented,
        "words": " ".join(part for part in parts if part),
    }


def _runs(study, found):
    """Lives of the runs that can be read, and the arms of those that are bounds alone."""
    arms = _arms(study)
    batches = {blade.id: blade.batch for blade in study.blades if blade.id != study.control}
    where = {each.run: each for each in found.readings if not each.excluded}
    read = _marks(found.readings)
    runs, bounds = [], set()
    for curve in found.fit.blades:
        life, run = curve.life, where.get(curve.blade)
        if life is None or run is None or not arms.get(run.blade):
            continue
        known = _log_life(life)
        if known is None:
            bounds.add(arms[run.blade])
        else:
            arm, batch = arms[run.blade], batches.get(run.blade, "")
            runs.append(
                ArmLife(arm, run.blade, run.block, known[0], known[1], batch, read[run.run])
            )
    return tuple(runs), tuple(sorted(bounds))


def _marks(readings):
    """What stands for the readings of each run that count, by run."""
    told = defaultdict(list)
    for each in readings:
        if not each.excluded:
            told[each.run].append((each.blade, each.cuts, each.value, each.lower, each.upper))
    return {run: sha256(repr(sorted(map(str, rows))).encode()).hexdigest()[:16]
            for run, rows in told.items()}  # fmt: skip


def _log_life(life):
    """Log of a life and its standard uncertainty; None where it is a bound or too wide a range."""
    if getattr(life, "beyond_reach", False):
        return None
    if isfinite(life.cuts) and life.cuts > 0:
        se = getattr(life, "log_life_se", 0.0)
        return log(life.cuts), float(se) if isfinite(se) else 0.0
    if 0 < life.low < life.high <= WIDEST * life.low:
        low, high = log(life.low), log(life.high)
        return (low + high) / 2, (high - low) / sqrt(12)  # a flat distribution between the two
    return None


def _arms(study):
    """What each blade stands for, the same words in each study that did the same to the same.

    The control blade is known by itself, through all studies; others by their steel and the
    steps of their heat treatment, or its name where no step is noted.
    """
    arms = {}
    for blade in study.blades:
        if blade.id == study.control:
            arms[blade.id] = f"{CONTROL} {blade.id}" + (f", {blade.title}" if blade.title else "")
            continue
        done = study.heat_treatment_of(blade.id)
        steps = {each.id: each.words() or each.title or each.id for each in study.heat_treatments}
        treatment = steps.get(done, done or "")
        if treatment:
            arms[blade.id] = f"{blade.steel or 'steel not noted'}: {treatment}"
    return arms
