"""What is believed of a study's blades and readings before the first cut?"""

from dataclasses import dataclass, replace
from statistics import median

from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.study.wear.analysis import law_of_reading, reading_of
from edgetest.study.wear.grading import gives_lives
from edgetest.study.wear.kept_repeats import REPEATS_FILE, kept_repeats
from edgetest.study.wear.measured_life import MeasuredLife, measured_life
from edgetest.study.wear.photo_values import PHOTOGRAPHED, WIDTH
from edgetest.study.wear.usual_limits import usual_limit
from edgetest.wear.compare.roll_shares import ASSUMED_SD_BLOCKS
from edgetest.wear.plan.design_result import PlanWords
from edgetest.wear.plan.expected_wear import ExpectedWear, check_limit
from edgetest.wear.plan.study_design import LIVES, Expected, Sampling
from edgetest.wear.plan.study_power import LifeScatter, LifeSeen

# Relative uncertainty of one reading where none is known; common practice, no source.
ASSUMED_CV = 0.05
# Edge width of a fresh edge off a fine stone; common practice, no source.
FRESH_UM = 2.5
# Shares of the protocol's last stage that a blade is thought to last where nobody says.
LIFE_SHARE = 2 / 3


@dataclass(frozen=True)
class Believed:
    """What a plan starts from, where each part comes from, and what is doubtful in it."""

    reading: str
    unit: str  # as shown, "µm"; "" for grades and counts
    sampling: Sampling
    expected: Expected
    life: float
    life_assumed: bool = False  # nobody said how long a blade lasts
    lasted: MeasuredLife | None = None  # how long those of the log did, where that is taken
    words: PlanWords = LIVES
    reading_cv: float | None = None
    reading_cv_from: str = ""  # "given", "assumed", or what the repeatability rests on
    fresh: float | None = None
    doubts: tuple[Doubt, ...] = ()


def believed_of(source, options, sd_blades, sd_df, batches=None):
    """What is believed of a cut test: by its protocol, its log and what was asked.

    Parameters
    ----------
    source : Source
    options : PlanOptions
    sd_blades : float
        Scatter between blades, without the readings' own.
    sd_df : float or None
    batches : BatchScatter, optional
        What the shop's earlier studies say of batches; it takes the place of `sd_blades`.

    Returns
    -------
    Believed

    Raises
    ------
    UnusableInput
        Naming what neither protocol, study nor log says of a fresh or a dull edge.
    """
    rules, name = source.protocol, reading_of(source)
    stages = rules.stages
    life = options.life or stages[-1] * LIFE_SHARE
    scatter = LifeScatter(sd_blades, blocks=ASSUMED_SD_BLOCKS)
    if batches is not None:
        scatter = replace(scatter, blades=batches.within, batches=batches.between)
    if gives_lives(source, name):
        checks = () if name == LIFE else tuple(map(float, stages))
        return Believed(
            reading=name,
            unit="",
            life=life,
            life_assumed=not options.life,
            sampling=Sampling(stages if checks else (life,), 1),
            expected=Expected(scatter, None, LifeSeen(life, checks=checks), sd_df),
        )
    rule = rules.reading(name)
    lasted = None if options.life else measured_life(source, name, options.limit)
    life = lasted.cuts if lasted else life
    common = {"reading": name, "unit": rule.unit, "life": life, "lasted": lasted}
    common["life_assumed"] = not (options.life or lasted)
    limit = _limit(source, rule, options.limit)
    fresh, doubts = _fresh(source, rule, options.fresh)
    law = law_of_reading(source, name)
    wear = ExpectedWear(life, fresh, limit, law=law)
    _refuse_limit(wear, rule)
    cv, cv_from = _reading_cv(source, options.reading_cv, limit)
    doubts += [doubt("reading_assumed", cv=f"{100 * cv:.2g} %")] if cv_from == "assumed" else []
    stations = len(rules.stations_mm) if rule.at_stations else 1
    return Believed(
        **common,
        sampling=Sampling(stages, stations, rule.repeats),
        expected=Expected(scatter, replace(wear, reading_cv=cv), LifeSeen(life, stages[-1]), sd_df),
        words=PlanWords(
            readings=f"stations, stages or {'photographs' if name in PHOTOGRAPHED else 'readings'}"
        ),
        reading_cv=cv,
        reading_cv_from=cv_from,
        fresh=fresh,
        doubts=tuple(doubts),
    )


def _limit(source, rule, given):
    """The reading that ends a life: asked for, the study's, or the protocol's."""
    limit = given if given is not None else source.study.limit_value
    if isinstance(limit, float | int):
        return float(limit)
    unit = f" in {rule.unit}" if rule.unit else ""
    raise UnusableInput(
        f"neither study nor protocol says at which {rule.title} a blade's life ends",
        where=source.title,
        mend=f"give --limit{unit}, or write limit = … into study.toml; {usual_limit(rule.name)}",
    )


def _fresh(source, rule, given):
    """What a fresh edge reads: asked for, the log's own readings, or what widths usually are."""
    if given is not None:
        return float(given), []
    seen = [
        row.readings[rule.name].value
        for row in source.log.rows
        if row.cuts == 0 and not row.exclude and rule.name in row.readings
    ]
    seen = [value for value in seen if value]
    if seen:
        return float(median(seen)), []
    if rule.name == WIDTH:
        return FRESH_UM, [doubt("fresh_assumed", fresh=f"{FRESH_UM:g} {rule.unit}")]
    raise UnusableInput(
        f"nothing says what a fresh edge reads in {rule.title}",
        where=source.title,
        mend=f"give --fresh{f' in {rule.unit}' if rule.unit else ''}",
    )


def _refuse_limit(wear, rule):
    """The law's own refusal of a limit, with the reading's unit and the options by name."""
    try:
        check_limit(wear)
    except UnusableInput as fault:
        unit = f" {rule.unit}" if rule.unit else ""
        raise UnusableInput(
            f"{fault.what}{unit} ({rule.title})",
            "limit",
            f"{fault.mend} (--limit, --fresh)",
        ) from None


def _reading_cv(source, given, limit):
    """Relative uncertainty of one reading, and where it comes from."""
    if given is not None:
        return given, "given"
    kept = kept_repeats(source.path).get(source.study.reading_name)
    if kept is None:
        return ASSUMED_CV, "assumed"
    return kept.relative_at(float(limit)), f"{REPEATS_FILE} ({kept.words()})"
