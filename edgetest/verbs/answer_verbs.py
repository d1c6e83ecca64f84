"""Verbs that answer from a study's folder: chop, case, verdict, report."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from inspect import signature
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from edgetest.errors import UnusableInput
from edgetest.steel.usual_pack import USUAL_PACK, WANTED_HRC
from edgetest.verbs.given import (
    LogLike,
    PathLike,
    given_chops,
    given_log,
    offers,
    path_of,
    refuse_unknown,
    several,
)
from edgetest.verbs.log_verbs import COMPARED_AS_USUAL, ComparisonWishes

if TYPE_CHECKING:
    from edgetest.study.chop.chop_result import ChopResult
    from edgetest.study.steel.case_plan import CaseAnswer
    from edgetest.study.steel.steel_result import SteelResult


def chop(
    log: LogLike,
    *,
    against: str | None = None,
    damage_from: str = "photographs",
    chip_limit_um: float | None = None,
    reference_wood: str | None = None,
    thinner: Mapping[str, tuple[float, float]] | None = None,
    level: float = 0.95,
    reckon: str | Iterable[str] = (),
) -> ChopResult:
    """Work out the figures of a chop test.

    Parameters
    ----------
    log : path-like, pandas.DataFrame or Source
        A study's folder, a chop log on its own, or its rows.
    against : str, optional
        Blade to compare the others with.
    damage_from : {"photographs", "log"}
        Which chips count where both were taken; all tools count alike, so where the eye alone
        looked at one of them, or alone saw a chip, that kind counts by eye.
    chip_limit_um : float, optional
        Depth above which a chip counts as damage, µm.
    reference_wood : str, optional
        Species, at 12 % moisture, to state chops in; default: coast Douglas-fir.
    thinner : mapping of str to (float, float), optional
        Tapers to try by blade: from where (from the butt) and how thick at the tip, mm.
    level : float
        Coverage of the intervals.
    reckon : str or iterable of str
        Other pieces to reckon strokes for: "English oak 90x60 flat", "green hazel 45", mm.
        Without green, air-dry or a percent before the wood, its water is that of your pieces.

    Returns
    -------
    ChopResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, or hold nothing to report.

    Examples
    --------
    >>> import edgetest as et
    >>> found = et.chop(et.sample_run("camp_hatchet_study"))
    >>> [count.blade for count in found.report.counts.blades]
    ['H1', 'C1']
    """
    from edgetest.study.chop.chop_analysis import analyse_chops
    from edgetest.study.chop.other_pieces import with_reckoned

    found = analyse_chops(
        given_chops(log), against=against, damage_from=damage_from, chip_limit_um=chip_limit_um,
        reference_wood=reference_wood, thinner=thinner or {}, level=level,
    )  # fmt: skip
    return with_reckoned(found, several(reckon))


class PackKnown(TypedDict, total=False):
    """What is known of a pack and its steel besides heat and section."""

    core_pct: float
    core_u_pct: float
    surface_pct: float | None
    surface_u_pct: float | None
    energised: bool | None
    skin_mm: float | str
    thermometer_u_c: float
    faces: int
    then: tuple[float, float, str] | Sequence[tuple[float, float, str]]
    coupon: tuple[float, float, float] | None
    temper: tuple[float, float, int] | str | None
    diffusivities: str | Iterable[str]


_LEFT_OUT = {
    "surface_pct": None, "surface_u_pct": None, "energised": None, "skin_mm": 0.0, "temper": None,
}  # fmt: skip


@offers(PackKnown, **vars(USUAL_PACK), **_LEFT_OUT, then=(), coupon=None, diffusivities=())
def case(
    study: PathLike | None = None,
    *,
    thickness_mm: float | str | None = None,
    temperature_c: float | str | None = None,
    hours: float | str | None = None,
    removed_mm: tuple[float, float] = (0.0, 0.0),
    target_hrc: float = WANTED_HRC,
    **known: Unpack[PackKnown],
) -> CaseAnswer | tuple[CaseAnswer, ...]:
    """Carbon and hardness across a carburised section, and what the grinder leaves of it.

    Parameters
    ----------
    study : path-like, optional
        A study whose study.toml holds `[evidence.pack]`; else a plan by its numbers:
    thickness_mm, temperature_c, hours : float or str
        Section in the pack (mm), heat (°C), hours with the steel itself at heat; or as typed:
        "1/4 in", "1650 °F", "240 min".
    removed_mm : (float, float)
        Ground off each face afterwards, mm.
    target_hrc : float
        Hardness wanted after the temper, HRC.
    surface_pct, surface_u_pct : float
        Carbon held by the pack, % by weight, and its standard uncertainty; left out, what
        charcoal holds at that heat.
    energised : bool
        Whether a carbonate is mixed into the charcoal; left out, half way between.
    skin_mm : float or str
        Decarburised skin before the pack, mm.
    temper : (float, float, int) or "none"
        °C, minutes, how often (180 °C, 60 min, twice); "none" wants the hardness straight
        from the quench.
    core_pct, core_u_pct : float
        Carbon of the steel before, % by weight (0.20), and its standard uncertainty.
    thermometer_u_c : float
        Standard uncertainty of the temperature, °C (10).
    faces : {1, 2}
        Faces that see the pack (2).
    then : (float, float, str) or sequence of them
        Later heats: °C, hours, "sealed" or "decarburising".
    coupon : (float, float, float)
        A coupon of the same pack: thickness, case depth, its uncertainty, mm.
    diffusivities : str or sequence of str
        Published sets to use; left out, all of them, and their spread is in the interval.

    Returns
    -------
    CaseAnswer, or tuple of CaseAnswer
        Of the plan; of each section of the study.

    Raises
    ------
    UnusableInput
        If a value is out of range, both or neither are given, or the study has no pack.

    Examples
    --------
    >>> import edgetest as et
    >>> found = et.case(thickness_mm=1, temperature_c=900, hours=4, removed_mm=(0.05, 0.05))
    >>> found.case.probability_edge_hard > 0.8
    True
    """
    from edgetest.study.steel.case_plan import cases_of_study, pack_of_one, plan_case

    needed = {"thickness_mm": thickness_mm, "temperature_c": temperature_c, "hours": hours}
    missing = [name for name, value in needed.items() if value is None]
    if study is not None:
        if len(missing) < len(needed):
            raise UnusableInput("both a study and a plan are given", "case", "give one of them")
        return cases_of_study(path_of(study, "a study"))
    if missing:
        raise UnusableInput(
            f"{', '.join(missing)} is missing", "case", "give it, or a study with a pack"
        )
    asked: dict[str, Any] = {**vars(USUAL_PACK), **_LEFT_OUT, **known}
    laws, later = several(asked.pop("diffusivities", ())), tuple(asked.pop("then", ()))
    alone = bool(later) and not isinstance(later[0], tuple | list)
    heat = {name: asked.pop(name) for name in ("faces", "surface_pct")}
    pack = pack_of_one(
        {"thickness_mm": thickness_mm, "removed_mm": removed_mm},
        {"temperature_c": temperature_c, "hours": hours, **heat},
        then=(later,) if alone else later,
        **asked,
    )
    (answer,) = plan_case(pack, target_hrc=target_hrc, diffusivities=laws)
    return answer


def verdict(study: PathLike, *, piece: str | None = None, workers: int = 2) -> SteelResult:
    """What to do with a salvaged steel: the step, what does not fit, chances, the next test.

    Parameters
    ----------
    study : path-like
        A study's folder; neither blade nor log is needed to begin.
    piece : str, optional
        The piece asked about; default: the study's wish, else the one tested most.
    workers : int
        Processes that measure photographs.

    Returns
    -------
    SteelResult

    Raises
    ------
    UnusableInput
        For a fault in study, log or evidence, or a piece that nobody knows.

    Examples
    --------
    >>> import edgetest as et
    >>> found = et.verdict(et.sample_run("plough_disc_study"))
    >>> found.to_dict()["action"]
    'carburise'
    """
    from edgetest.study.steel.judge_steel import judge_steel

    return judge_steel(path_of(study, "a study"), piece=piece, workers=workers)


class DocumentWishes(ComparisonWishes, total=False):
    """What else may be asked of a document, each by the job that it is about."""

    reading: str | None
    limit: float | str | None
    control: str | None
    reference: str | None
    against: str | None
    damage_from: str
    chip_limit_um: float | None
    reference_wood: str | None
    thinner: Mapping[str, tuple[float, float]] | None
    reckon: str | Iterable[str]
    blade: str | None
    photographs: str | None
    piece: str | None


OF_WEAR = {**COMPARED_AS_USUAL, **dict.fromkeys(("reading", "limit", "control", "reference"))}
OF_WEAR |= {"photographs": None}
OF_CHOPS = {name: one.default for name, one in signature(chop).parameters.items() if name != "log"}
OF_CHOPS |= {"blade": None}
OF_STEEL = {"piece": None}
_OF_JOB = {
    "comparison": ("a comparison", OF_WEAR),
    "chopper": ("a chop test", OF_CHOPS),
    "steel": ("a steel", OF_STEEL),
}


@offers(DocumentWishes, **(OF_STEEL | OF_CHOPS | OF_WEAR))
def report(
    study: PathLike,
    folder: PathLike | None = None,
    *,
    about: str | None = None,
    paper: str | None = None,
    units: str | None = None,
    **asked: Unpack[DocumentWishes],
) -> tuple[Path, ...]:
    """Write the document of a study, PDF and HTML: of its main job, or of the one asked about.

    Parameters
    ----------
    study : path-like
        A study's folder.
    folder : path-like, optional
        Where the documents go; default: `documents` in the study.
    about : {"comparison", "chopper", "steel"}, optional
        Which document, where a study holds several jobs; default: the one it is mainly for.
    paper : {"a4", "us-letter"}, optional
    units : {"metric", "inch", "both"}, optional
        Default of both: the study's own wish.
    limit, reading, control, reference, margin, also, at_cuts
    level, limit_of_fresh, law, power, robust
        Of a comparison, as for `compare`.
    photographs : {"aside", "inside"}, optional
        Of a comparison: the rows of its photographs in a CSV file beside it, or inside it.
    against, damage_from, chip_limit_um, reference_wood, thinner, reckon
        Of a chop test, which takes `level` besides, as for `chop`.
    blade : str, optional
        Of a chop test: whose sheet; default: every tool's but the control's.
    piece : str, optional
        Of a steel, as for `verdict`.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    UnusableInput
        As `compare`, `chop` or `verdict`; for a log without a study; and for a job that the study
        holds nothing for.

    Examples
    --------
    >>> import edgetest as et
    >>> [path.name for path in et.report(et.sample_run("billhook_temper_study"))]
    ['comparison.pdf', 'comparison.html', 'comparison_photographs.csv']
    """
    from edgetest.report.documents.report_of_study import write_report
    from edgetest.study.answers import job_asked

    source = given_log(path_of(study, "a study"))
    job = job_asked(source, about)
    kind, known = _OF_JOB[job]
    wishes: dict[str, Any] = {**asked}
    refuse_unknown(f"report of {kind}", wishes, known)
    for name in {"also", "reckon"} & {*wishes}:
        wishes[name] = several(wishes[name])
    return write_report(source, folder, about=job, paper=paper, units=units, **wishes).files
