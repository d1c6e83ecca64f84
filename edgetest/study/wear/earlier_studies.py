"""What do a shop's earlier studies say of its blades' scatter, and how its treatments differ?"""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.stats.true_spread import LEAST_STUDIES, learnt_spread
from edgetest.store.records import STUDY_FILE
from edgetest.store.shop_index import studies_of
from edgetest.study.shop.copied_studies import copied_studies
from edgetest.study.shop.load_scatter import load_scatter
from edgetest.study.shop.shop_memory import remembered_studies
from edgetest.study.shop.study_effects import WithinStudy, effects_of, scatters_of, within_study
from edgetest.study.shop.study_lives import StudyLives, lives_of_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import reading_of
from edgetest.study.wear.wear_answer import comparison_of
from edgetest.wear.compare.shop_history import BatchScatter, learn_scatter

# Least share of the scatter of lives that is taken to be the blades' own where the readings
# could explain nearly all of it; own choice.
LEAST_OWN = 1 / 3
LEAST_SD = 1e-3  # of log life: blades that came out all alike still scatter


@dataclass(frozen=True)
class Earlier:
    """One earlier study: scatter of log lives between blades, the readings' part, and df."""

    sd: float
    reading_se: float
    df: float

    @property
    def own(self):
        """Scatter between blades with the readings' part taken out."""
        return max(self.sd**2 - self.reading_se**2, (LEAST_OWN * self.sd) ** 2) ** 0.5


@dataclass(frozen=True)
class EarlierStudies:
    """Scatters of some earlier studies, and what those that compared heat treatments found."""

    scatters: tuple[Earlier, ...]
    compared: tuple[WithinStudy, ...]  # none where so few teach nothing
    count: int  # of studies that compared heat treatments
    batches: BatchScatter | None = None


def earlier_studies(folders, source=None, reading=None, *, workers=2, progress=None):
    """Scatter between blades in each of some earlier studies, and how their treatments differed.

    Parameters
    ----------
    folders : sequence of path
        Studies, and folders of studies: of these the ones with the protocol and reading of the
        source, as invented as it is, and not the study itself.
    source : Source, optional
        What is to be answered or planned.
    reading : str, optional
        Which it is about; default: the source's.

    Returns
    -------
    EarlierStudies

    Raises
    ------
    UnusableInput
        If an earlier study tells nothing of the scatter (one blade a heat treatment), or a
        folder of studies holds none that is like this one.
    """
    scatters, lives = [], []
    for folder in map(Path, folders):
        if folder.is_file() or (folder / STUDY_FILE).exists() or not studies_of(folder):
            scatters.append(_one(folder, workers, progress))
            lives.append(folder)
        else:
            alike = _alike(folder, source, reading, progress)
            scatters += [each for each in map(_scatter_of_lives, alike) if each]
            lives += alike
    if len(lives) < LEAST_STUDIES:  # so few teach nothing of treatments: they stay unread
        return EarlierStudies(tuple(scatters), (), len(lives))
    read = [each if isinstance(each, StudyLives) else lives_of_study(each, workers=workers)
            for each in lives]  # fmt: skip
    compared = [found for found in map(_own_treatments, read) if found is not None]
    return EarlierStudies(tuple(scatters), tuple(compared), len(compared), _of_batches(read))


def _of_batches(studies):
    """How batches scatter, and blades within them without their readings' part; None if untold."""
    runs = [([run for run in study.read_runs if run.arm != study.control], "") for study in studies]
    found = load_scatter(runs, 1.0).found
    if found is None:
        return None
    read = np.sqrt(np.mean([run.log_life_se**2 for own, _ in runs for run in own]))
    within = Earlier(max(found.within, LEAST_SD), float(read), 1.0).own
    return BatchScatter(within, found.between, found.between_low, found.between_high)


def _alike(folder, source, reading, progress):
    """The studies of a folder that are of the same protocol and reading, but for the source."""
    if source is None or source.study is None:
        raise UnusableInput("a log alone names no protocol, so that no study is like it",
                            "history", "name the earlier studies one by one")  # fmt: skip
    study, own = source.study, Path(source.path).resolve()
    reading = reading or reading_of(source)
    read = remembered_studies(folder, progress=progress)
    here = own.name if own.parent == folder.resolve() else ""
    copies = copied_studies(read, here)
    found = [
        each
        for each in read
        if each.name not in copies
        and (each.protocol, each.reading) == (study.protocol_name, reading)
        and each.invented == study.invented
        and (folder / each.name).resolve() != own
        and _own_treatments(each) is not None
    ]
    if not found:
        raise UnusableInput(
            "no other study here compares heat treatments by this protocol and reading",
            str(folder), "leave it out of the history",
        )  # fmt: skip
    return found


def _own_treatments(study):
    """What a study's own heat treatments differ by, without the control blade; or None."""
    return within_study([run for run in study.read_runs if run.arm != study.control])


def _scatter_of_lives(study):
    """A remembered study's scatter; None where no heat treatment has two blades."""
    found = _own_treatments(study)
    if not found.df:
        return None
    sd = float((found.squares.sum() / found.df) ** 0.5)
    return Earlier(max(sd, LEAST_SD), found.reading_se, found.df)


def _one(folder, workers, progress):
    """One earlier study's scatter."""
    result = comparison_of(open_source(folder), workers=workers, progress=progress)
    groups = result.comparison.groups if result.comparison else ()
    groups = [group for group in groups if group.n > 1 and group.sd_taken is not None]
    free = sum(group.n - 1 for group in groups)
    if free < 1:
        raise UnusableInput(
            "this study has no heat treatment with two blades or more",
            where=str(folder),
            mend="leave it out of the history",
        )
    squares = sum((group.n - 1) * group.sd_taken**2 for group in groups)
    reading = _by_readings(result.fit.blades) if result.has_curves else 0.0
    return Earlier(max((squares / free) ** 0.5, LEAST_SD), reading, free)


def _by_readings(curves):
    """Root mean square standard error of the log lives that the readings reach.

    A life beyond them has the law's own error, which would drown that of all others.
    """
    lives = [curve.life for curve in curves if curve.life is not None]
    se = [life.log_life_se for life in lives if not life.beyond_reach]
    se = [one for one in se if np.isfinite(one)]
    return float(np.sqrt(np.mean(np.square(se)))) if se else 0.0


def _learnt(found, own):
    """The history of studies; `own` takes the readings' part out of each one's scatter."""
    if not found.scatters:
        return None
    sd = [one.own if own else one.sd for one in found.scatters]
    history = learn_scatter(sd, [one.df for one in found.scatters])
    scatters = scatters_of(found.compared)
    spread = None
    if scatters[2]:
        spread = learnt_spread([effects_of(each, scatters) for each in found.compared])
    return replace(history, spread=spread, compared=found.count, batches=found.batches)


def shop_history(folders, source=None, reading=None, *, workers=2, progress=None):
    """What earlier studies say of the shop's blades, readings included; None for no folder.

    Parameters
    ----------
    folders, source, reading
        As for `earlier_studies`.

    Raises
    ------
    UnusableInput
        As `earlier_studies`.
    """
    found = earlier_studies(folders, source, reading, workers=workers, progress=progress)
    return _learnt(found, own=False)


def scatter_before(folders, source=None, *, workers=2, progress=None):
    """What they say without the readings' part, for a plan that adds its own readings'.

    Returns
    -------
    (ShopHistory or None, float)
        The scatter with the readings' part taken out of each study's, and that part: the root
        mean square standard uncertainty of a log life, over the studies.
    """
    found = earlier_studies(folders, source, workers=workers, progress=progress)
    if not found.scatters:
        return None, 0.0
    reading = np.sqrt(np.mean([one.reading_se**2 for one in found.scatters]))
    return _learnt(found, own=True), float(reading)
