"""Verbs on logs: read_log, fit, compare, plan; and sample_run to try them on."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from edgetest.verbs.given import LogLike, PathLike, given_log, offers, several

if TYPE_CHECKING:
    from edgetest.study.sources import Source
    from edgetest.study.wear.plan_result import Plan
    from edgetest.study.wear.wear_result import StudyResult


class CurveWishes(TypedDict, total=False):
    """What else may be asked of wear curves."""

    level: float
    limit_of_fresh: float | None
    law: str | None
    power: float | None
    robust: bool


class ComparisonWishes(CurveWishes, total=False):
    """What else may be asked of a comparison."""

    margin: float
    also: float | Iterable[float]
    at_cuts: float | None


class Beliefs(TypedDict, total=False):
    """What else may be believed before a study, or asked of its plan."""

    life: float | None
    fresh: float | None
    limit: float | None
    reading_cv: float | None
    runs: int
    power: float
    level: float
    looks: bool
    most: int | None
    anew: bool


def read_log(log: LogLike) -> Source:
    """Read a log with the study that it belongs to, and refuse it where it has faults.

    Parameters
    ----------
    log : path-like or pandas.DataFrame
        A study's folder; a CSV or XLSX log with columns `blade`, `cuts` and a reading such as
        `edge_width_um` (µm), and `heat_treatment` and `station_mm` where there are any, or with
        columns `blade` and `life` ("340", ">150", "<20", "320-340"); or a DataFrame with these
        columns, its index left out.

    Returns
    -------
    Source
        Its `log.rows` and `to_frame()` hold the log; every other verb takes it as its log.

    Raises
    ------
    UnusableInput
        Where there is no such file. `ManyFaults`, with every fault named by row and column
        (the heading is row 1, also that of a DataFrame), where cells cannot be read.

    Examples
    --------
    >>> import edgetest as et
    >>> log = et.read_log(et.sample_run("billhook_temper_study"))
    >>> len(log.log.rows), log.log.blades()
    (216, ('S1', 'H1', 'C1', 'S2', 'H2', 'S3', 'H3'))
    """
    from edgetest.errors import ManyFaults

    source = given_log(log)
    if source.faults:
        raise ManyFaults(source.faults)
    return source


CURVES_AS_USUAL = {
    "level": 0.95,
    "limit_of_fresh": None,
    "law": None,
    "power": None,
    "robust": False,
}
COMPARED_AS_USUAL = {**CURVES_AS_USUAL, "margin": 0.10, "also": (), "at_cuts": None}


@offers(CurveWishes, **CURVES_AS_USUAL)
def fit(
    log: LogLike,
    *,
    limit: float | str | None = None,
    reading: str | None = None,
    workers: int = 2,
    **more: Unpack[CurveWishes],
) -> StudyResult:
    """Fit a wear curve to every blade, and read its life to the limit.

    Parameters
    ----------
    log : path-like, pandas.DataFrame or Source
        As for `read_log`. Photographs that a study's log names are measured first.
    limit : float or str, optional
        Reading at which a life ends, in its unit (µm for an edge width), or a grade; default:
        the study's.
    reading : str, optional
        Column of the log; default: the study's, else the only one there is.
    workers : int
        Processes that measure photographs.
    level : float
        Coverage of the intervals, 0.95 if not given.
    limit_of_fresh : float, optional
        The limit as a multiple of each blade's own fresh reading, in place of `limit`.
    law : str, optional
        Wear law, such as "wedge" or "saturating"; default: the reading's own.
    power : float, optional
        Power p of the wear law; left out, it is estimated.
    robust : bool
        Give outlying readings less weight, and name them.

    Returns
    -------
    StudyResult
        `fit.blades` holds the curves, `to_frame()` one row a blade: life in cuts with its
        interval. Grades, pass and fail, and noted lives have no curve: there `fit.blades` holds
        what each life lies between, and `fit.together` the median life of each heat treatment.

    Raises
    ------
    UnusableInput
        Where log or study have faults, or nothing can be fitted.

    Examples
    --------
    >>> import edgetest as et
    >>> import pandas as pd
    >>> log = pd.DataFrame({"blade": "A", "cuts": [0, 25, 50, 100, 200]})
    >>> log["edge_width_um"] = [2.5, 6.1, 8.2, 11.5, 16.2]
    >>> print(et.fit(log, limit=12).fit["A"].summary())
    A: 109 cuts (104 to 116) to 12
    """
    from edgetest.study.wear.analysis import AnalysisOptions
    from edgetest.study.wear.wear_answer import curves_of

    options = AnalysisOptions(reading=reading, limit=limit, **more)
    return curves_of(given_log(log), options, workers=workers)


@offers(ComparisonWishes, **COMPARED_AS_USUAL)
def compare(
    log: LogLike,
    *,
    limit: float | str | None = None,
    reading: str | None = None,
    control: str | None = None,
    reference: str | None = None,
    history: PathLike | Iterable[PathLike] = (),
    workers: int = 2,
    **more: Unpack[ComparisonWishes],
) -> StudyResult:
    """Which heat treatment's blades last longer, by what factor, and how sure that is.

    Parameters
    ----------
    log, limit, reading, workers
        As for `fit`.
    control : str, optional
        Control blade, run in every block; default: the study's.
    reference : str, optional
        Heat treatment that the others are held against; default: the study's, else the first.
    history : path-like or sequence of path-like
        Earlier studies on the same protocol, or folders of studies: their blades' scatter and
        their heat treatments' differences may moderate this one's.
    margin : float
        Difference in life worth knowing, as a share; a tenth, 0.10, if not given.
    also : float or sequence of float
        Other levels of the reading to compare at; default: shares of the limit.
    at_cuts : float, optional
        Cuts at which readings are compared; default: the last that all blades reached.
    level, limit_of_fresh, law, power, robust
        As for `fit`.

    Returns
    -------
    StudyResult
        `ratio` is the second heat treatment's life over the first's with its interval, None
        where there is nothing to compare; `comparison` has the groups, chances and verdict.

    Raises
    ------
    UnusableInput
        As `fit`; and for a control blade or reference that the log does not know.

    Examples
    --------
    >>> import edgetest as et
    >>> answer = et.compare(et.sample_run("billhook_temper_study"), limit=12)
    >>> print(answer.ratio)
    1.55 (1.32 to 1.82)
    >>> [doubt.code for doubt in answer.doubts]
    ['photograph_refused', 'apexes_alike', 'lives_by_block', 'control_not_needed', 'invented',
     'excluded_rows', 'control_by_block']
    """
    from edgetest.study.wear.analysis import AnalysisOptions
    from edgetest.study.wear.wear_answer import comparison_of

    wishes: dict[str, Any] = {**more, "also": several(more.get("also"))}
    source, earlier = given_log(log), None
    if several(history):
        from edgetest.study.wear.earlier_studies import shop_history

        earlier = shop_history(several(history), source, reading, workers=workers)
    options = AnalysisOptions(
        reading=reading,
        limit=limit,
        control=control,
        reference=reference,
        history=earlier,
        **wishes,
    )
    return comparison_of(source, options, workers=workers)


@offers(Beliefs, life=None, fresh=None, limit=None, reading_cv=None, runs=1, power=0.8, level=0.95,
        looks=False, most=None, anew=False)  # fmt: skip
def plan(
    study: LogLike,
    *,
    ratio: float = 1.25,
    sd_blades: float | None = None,
    history: PathLike | Iterable[PathLike] = (),
    blocks: str | Iterable[str] = ("roll 1",),
    seed: int | None = None,
    save: bool = False,
    **more: Unpack[Beliefs],
) -> Plan:
    """Plan a study: blades needed, stages, order of runs, codes.

    Parameters
    ----------
    study : path-like or Source
        A study's folder; its protocol gives stages and limit, its blades the runs.
    ratio : float
        Ratio of lives worth knowing; of chops to sever or of depths in a chop test.
    sd_blades : float, optional
        Blade-to-blade standard deviation of log life, readings left out; default: from
        `history`, else assumed.
    history : path-like or sequence of path-like
        Earlier studies on the same protocol, or folders of studies.
    blocks : str or sequence of str
        Rolls, boards or days, in the order in which they come; each board gives a piece to
        every tool.
    seed : int, optional
        Draws the order alone; the same seed gives the same order. Default: that of a log which was
        begun, else 1.
    save : bool
        Write the plan and the empty log into the study.
    life : float, optional
        Cuts that you expect a blade to last.
    fresh : float, optional
        What a fresh edge reads, in the reading's unit (of a chop test: chops that a piece
        takes); default: the log's own readings at 0 cuts, else what edge widths usually are.
    limit : float, optional
        Reading that ends a life; default: the study's or the protocol's.
    reading_cv : float, optional
        Relative uncertainty of one reading, as a share.
    runs : int
        Times that each blade is cut, every time sharpened anew and under another roll.
    power, level : float
        Chance to show the ratio if it is true; coverage of the interval.
    looks : bool
        Fix looks before the test: it may then be read at every blade a side, and end early.
    most : int, optional
        Greatest number of blades a side that the looks go to, 8 if not given.
    anew : bool
        Draw what is left of a test under way: runs that the log holds readings of stand, new
        blades get rows. Without it `save` refuses another order.

    Returns
    -------
    Plan
        `need.chosen.blades` of each heat treatment, `schedule`, `runs` and `to_frame()`; of
        tools whose heat treatments are not compared `need.woods`, with the pieces of each.

    Raises
    ------
    UnusableInput
        For a log without a study, an earlier study that tells nothing of the scatter, or a
        reading of which neither fresh value nor limit is known.

    Examples
    --------
    >>> import edgetest as et
    >>> rolls = ["roll 1", "roll 2", "roll 3"]
    >>> made = et.plan(et.sample_run("billhook_temper_study"), blocks=rolls, seed=7)
    >>> len(made.runs)
    9
    """
    from edgetest.study.wear.plan_options import PlanOptions
    from edgetest.study.wear.planning import make_plan
    from edgetest.study.wear.saved_plan import save_plan

    beliefs: dict[str, Any] = {**more}
    source, anew = given_log(study), beliefs.get("anew", False)
    earlier = tuple(Path(each) for each in several(history))
    options = PlanOptions(ratio, sd_blades, earlier, several(blocks), seed, **beliefs)
    made = make_plan(source, options)
    return replace(made, files=tuple(save_plan(source, made, anew=anew))) if save else made


def sample_run(name: str, folder: PathLike | None = None) -> Path:
    """Copy a study of invented data that comes with the program, to try the verbs on.

    Parameters
    ----------
    name : str
        "billhook_temper_study", "camp_hatchet_study" or "plough_disc_study".
    folder : path-like, optional
        Where to put it; a temporary folder if not given.

    Returns
    -------
    Path
        The copied study's folder, which verbs may write into.

    Raises
    ------
    UnusableInput
        For a name that is not known, or a folder that holds something.
    """
    from edgetest.store.workspace import copy_sample_run

    place = Path(tempfile.mkdtemp(prefix="edgetest_")) / name if folder is None else Path(folder)
    return copy_sample_run(name, place)
