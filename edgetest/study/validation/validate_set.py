"""How do stated widths, hardnesses and case depths stand against references from elsewhere?"""

from collections import Counter
from dataclasses import dataclass
from math import inf, nan

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, joined, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, format_estimate, plain
from edgetest.photo.apex.apex_light import Lighting
from edgetest.stats.held_references import HeldReferences, common_ratio, held_references
from edgetest.steel.hardness import fit_hardness
from edgetest.store.validation_set import KnownPhoto, load_validation
from edgetest.study.photos.many_photos import measure_many
from edgetest.study.photos.measure_photos import Task
from edgetest.study.steel.case_plan import pack_of_one, plan_case
from edgetest.study.words import counted

TITLES = {
    "widths": ("edge width", "reference"),
    "pairs": ("edge width under two microscopes", "pair"),
    "blocks": ("hardness", "block"),
    "coupons": ("case depth", "coupon"),
}
UNITS = {"widths": "µm", "pairs": "µm", "blocks": "HRC", "coupons": "mm"}


@dataclass(frozen=True)
class StatedReference:
    """One reference: what was stated, what is known; `value` is nan where only a bound is."""

    name: str
    value: float
    low: float
    high: float
    reference: float
    reference_u: float
    setup: str = ""
    scale_u: float = 0.0
    thing: str = ""

    def to_dict(self):
        """Plain values for JSON."""
        numbers = ("value", "low", "high", "reference", "reference_u")
        named = {"name": self.name, "setup": self.setup}
        return named | {name: plain(getattr(self, name)) for name in numbers}


@dataclass(frozen=True)
class NothingStated:
    """A reference that the program stated nothing for, and why."""

    name: str
    why: str

    def to_dict(self):
        """Plain values for JSON."""
        return {"name": self.name, "why": self.why}


@dataclass(frozen=True)
class ClaimScored:
    """One claim of the program against its references."""

    kind: str
    rows: tuple[StatedReference, ...]
    refused: tuple[NothingStated, ...]
    found: HeldReferences | None

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "rows": [row.to_dict() for row in self.rows],
            "refused": [each.to_dict() for each in self.refused],
            "found": self.found and self.found.to_dict(),
        }

    def lines(self):
        """The part in words."""
        title, noun = TITLES[self.kind]
        refused = f"; {len(self.refused)} refused" if self.refused else ""
        if self.found is None:
            return [f"{title.capitalize()}: nothing was stated{refused}."]
        found, share = self.found, self.found.held_share
        first = (
            f"{title.capitalize()}: {found.held} of {counted(found.references, noun)} held"
            f" ({100 * share.value:.0f} %, 95 % interval {100 * share.low:.0f} to"
            f" {100 * share.high:.0f} %){refused}. {found.may_be_said()}"
        )
        return [first, *self._differences(found)]

    def _differences(self, found):
        if found.mean_difference is None:
            yield "Mean difference: one value tells none."
            return
        words = "second less first" if self.kind == "pairs" else "stated less reference"
        yield f"Mean difference, {words}: {_signed(found.mean_difference)}."
        if found.lower is None or found.upper is None:
            yield "Limits of agreement: from six on."
            return
        yield (
            f"Limits of agreement: from {_signed(found.lower)} to {_signed(found.upper)};"
            " between them lie 95 % of the differences."
        )


def _signed(estimate):
    return f"{estimate.value:+.2g} {estimate.unit} ({estimate.low:+.2g} to {estimate.high:+.2g})"


@dataclass(frozen=True)
class SetupScored:
    """The widths of one set-up together: by what factor they lie off."""

    name: str
    widths: int
    ratio: Estimate

    @property
    def off(self):
        """Whether the factor is no chance."""
        return not self.ratio.low <= 1 <= self.ratio.high

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "name": self.name,
            "widths": self.widths,
            "ratio": self.ratio.to_dict(),
            "off": self.off,
        }


@dataclass(frozen=True)
class Validation:
    """A validation set against the program's claims."""

    title: str
    invented: bool
    parts: tuple[ClaimScored, ...]
    setups: tuple[SetupScored, ...]
    doubts: tuple[Doubt, ...]

    def part(self, kind):
        """The part of a kind, or None."""
        return next((part for part in self.parts if part.kind == kind), None)

    def to_dict(self):
        """Plain values for JSON."""
        parts = {kind: self.part(kind) for kind in TITLES}
        return {
            "title": self.title,
            "invented": self.invented,
            **{kind: part and part.to_dict() for kind, part in parts.items()},
            "setups": [setup.to_dict() for setup in self.setups],
            "summary": self.summary(),
            **told(self.doubts),
        }

    def summary(self):
        """What was held, what lies off, what may be said, line by line."""
        lines = [f"{self.title}{' (invented)' if self.invented else ''}"]
        for part in self.parts:
            lines += part.lines()
            lines += [f"{each.name}: refused. {each.why}" for each in part.refused]
        for setup in self.setups:
            ratio = format_estimate(setup.ratio.value, setup.ratio.low, setup.ratio.high, apart=1.0)
            lines.append(
                f"Set-up {setup.name}: its {counted(setup.widths, 'width')} are"
                f" {ratio} times the references."
            )
        return "\n".join([*lines, *(one.text for one in self.doubts)])


def validate_set(folder, *, workers=2, progress=None):
    """Score a validation set against what the program states.

    Parameters
    ----------
    folder : path-like
        With its validation.toml and what that names.
    workers : int
        Processes that measure photographs.
    progress : callable, optional
        Called with photographs done and in all.

    Returns
    -------
    Validation

    Raises
    ------
    UnusableInput
        Of validation.toml, or of a photograph that is not there.
    """
    found = load_validation(folder)
    known = found.known
    measured = _measured(found, workers, progress)
    parts = (
        _part("widths", (_width_row(each, measured) for each in known.widths)),
        _part("pairs", (_pair_row(each, measured) for each in known.pairs)),
        _part("blocks", (_block_row(each) for each in known.blocks)),
        _part("coupons", (_case_row(each) for each in known.coupons)),
    )
    kept = tuple(part for part in parts if part.rows or part.refused)
    setups = tuple(_setups(parts[0].rows))
    doubts = [one for part in kept for one in _doubts_of(part)]
    doubts += [one for setup in setups for one in _off(setup)]
    return Validation(known.title, known.invented, kept, setups, joined(doubts))


def _measured(found, workers, progress):
    """Each photograph's result by what describes it, measured once."""
    photos = list(dict.fromkeys(map(_described, found.known.photos())))
    tasks = [
        Task(found.folder / each.photo, float(each.um_per_px), each.relative_u, tone=each.tone,
             lighting=Lighting(direction=each.light), photo=each.photo)
        for each in photos
    ]  # fmt: skip
    results = measure_many(tasks, workers=workers, progress=progress) if tasks else ()
    return dict(zip(photos, results, strict=True))


def _described(known):
    """What a photograph is said to be, whether its width is known or not."""
    return KnownPhoto(**{name: getattr(known, name) for name in KnownPhoto.model_fields})


def _part(kind, rows):
    both = list(rows)
    stated = tuple(row for row in both if isinstance(row, StatedReference))
    refused = tuple(row for row in both if isinstance(row, NothingStated))
    columns = ("value", "low", "high", "reference", "reference_u")
    given = [np.array([getattr(row, name) for row in stated]) for name in columns]
    found = held_references(*given, unit=UNITS[kind]) if stated else None
    return ClaimScored(kind, stated, refused, found)


def _stated(result):
    """Width with its interval, or the bound alone; None of a photograph that was refused."""
    width, below = result.numbers["width_um"], result.numbers["below_um"]
    if not result.measured:
        return None
    return (nan, -inf, below) if width is None else (width["mean"], width["low"], width["high"])


def _refused(name, result):
    return NothingStated(name, " ".join(reason["text"] for reason in result.numbers["reasons"]))


def _width_row(known, measured):
    result = measured[_described(known)]
    stated = _stated(result)
    if stated is None:
        return _refused(known.photo, result)
    value, low, high = stated
    return StatedReference(
        known.photo, value, low, high, float(known.reference_um), float(known.reference_u_um),
        known.microscope, known.relative_u, known.edge or known.photo,
    )  # fmt: skip


def _pair_row(pair, measured):
    """The second look as stated, the first as its reference."""
    looks = [(each, measured[_described(each)]) for each in (pair.first, pair.second)]
    for known, result in looks:
        if _stated(result) is None:
            return _refused(f"{pair.edge}, {known.photo}", result)
    first, second = (_stated(result) for _, result in looks)
    if first[0] != first[0] or second[0] != second[0]:
        return NothingStated(pair.edge, "One of the two shows an upper bound only.")
    u = (first[2] - first[1]) / 2 / 1.96
    setups = " and ".join(known.microscope for known, _ in looks)
    value, low, high = second
    return StatedReference(pair.edge, value, low, high, first[0], u, setups, thing=pair.edge)


def _block_row(block):
    values = [float(each) for each in block.readings_hrc]
    lower, upper = [nan] * len(values), [nan] * len(values)
    if block.file_skates is not None or block.file_bites is not None:
        values.append(nan)
        lower.append(nan if block.file_skates is None else float(block.file_skates))
        upper.append(nan if block.file_bites is None else float(block.file_bites))
    hardness = fit_hardness(value=values, lower=lower, upper=upper).hardness
    return StatedReference(
        block.name, hardness.value, hardness.low, hardness.high, float(block.stated_hrc),
        block.stated_u_hrc, thing=block.name,
    )  # fmt: skip


def _case_row(coupon):
    """The depth that the program states for the pack, without a temper, as it is cut through."""
    known = {"core_pct": coupon.core_pct, "core_u_pct": coupon.core_u_pct}
    if coupon.energised is not None:
        known["energised"] = coupon.energised
    heat = {"temperature_c": coupon.temperature_c, "hours": coupon.hours}
    if coupon.surface_pct is not None:
        heat["surface_pct"] = coupon.surface_pct
    section = {"name": coupon.name, "thickness_mm": coupon.thickness_mm}
    pack = pack_of_one(section, heat, temper="none", **known)
    try:
        (answer,) = plan_case(pack, target_hrc=float(coupon.to_hrc))
    except UnusableInput as fault:
        return NothingStated(coupon.name, str(fault))
    depth = answer.case.case_depth_mm
    return StatedReference(
        coupon.name, depth.value, depth.low, depth.high, float(coupon.depth_mm),
        float(coupon.depth_u_mm), thing=coupon.name,
    )  # fmt: skip


def _setups(rows):
    """Widths of each set-up together, those that have one."""
    for name in dict.fromkeys(row.setup for row in rows):
        own = [row for row in rows if row.setup == name and row.value == row.value]
        if own:
            ratio = common_ratio(
                [row.value for row in own], [(row.high - row.low) / 2 for row in own],
                [row.reference for row in own], [row.reference_u for row in own],
                max(row.scale_u for row in own),
            )  # fmt: skip
            yield SetupScored(name, len(own), ratio)


def _doubts_of(part):
    """Claims that do not hold; things that were looked at more than once."""
    title, _ = TITLES[part.kind]
    if part.found is not None and part.found.misses:
        yield doubt("claim_not_held", what=title, held=part.found.held, of=part.found.references)
    times = Counter(row.thing for row in part.rows)
    if times and max(times.values()) > 1:
        yield doubt("references_of_one_edge", references=len(part.rows), edges=len(times))


def _off(setup):
    if setup.off:
        percent = 100 * abs(setup.ratio.value - 1)
        way = "wide" if setup.ratio.value > 1 else "narrow"
        yield doubt(
            "setup_reads_off", setup=setup.name, percent=f"{percent:.1f}", way=way,
            where=Where(value=setup.ratio.value, expected=1.0),
        )  # fmt: skip
