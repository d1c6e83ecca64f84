"""Which typed facts, of the edges and the limit, are not what the protocol asks for?"""

import re
from collections import defaultdict
from dataclasses import asdict, dataclass
from math import radians, tan

from edgetest.study.bench.blinding import is_sealed
from edgetest.study.words import listed

ADDED = "the maker's addition"  # beside all that the protocol asks for: no departure
UNREAD = "words of the protocol"  # that are not understood: nothing was held against them
ANGLE_DEG = 0.5  # included; a protractor reads no finer (common practice, no source)
ASKED_GRIT = re.compile(r"(\d{2,5}) grit")
# P600, #600, 1,000 and 1 000 are grits too; an angle and a length are none.
NOTED_GRIT = re.compile(r"(?<![\w.,])[Pp#]?(\d{1,2}[ ,.]\d{3}|\d{2,5})\b(?! ?(?:°|[mµu]m))")
ANGLES_TOLD = 3  # different ones, each with what it does to a life (own choice)
SAME_GRIT = 1.5  # times: makers of stones count grits by several scales (own choice)
WIDTH = "edge_width_um"  # what the wedge of an angle is reckoned for
OF_LIVES = "A wider or narrower wedge wears at another rate; lives at other angles differ."


@dataclass(frozen=True)
class ProtocolDeparture:
    """One thing that was done otherwise than asked, or that nobody noted."""

    of: str
    asked: str
    done: str
    means: str

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self)

    @property
    def added(self):
        """Whether it is more than the protocol asks for, and takes nothing from it."""
        return self.of == ADDED

    @property
    def unread(self):
        """Whether it is what was held against nothing, and so departs from nothing."""
        return self.of == UNREAD

    def told(self):
        """What was asked and what was done."""
        if self.added:
            return f"{self.of}: {self.done}, beside the protocol's {self.asked}"
        return f"{self.of}: the protocol asks for {self.asked}; {self.done}"

    def summary(self):
        """The departure in a sentence or two."""
        return f"{self.told()}. {self.means}"

    def headed(self):
        """The same under its heading, for a list of findings."""
        return self.summary() if self.added or self.unread else f"Departure: {self.summary()}"

    def in_line(self):
        """What was done, what was asked and what follows, for a sheet with little room."""
        if self.added:
            return f"{self.summary()[:1].upper()}{self.summary()[1:]}"
        return (
            f"{self.of[:1].upper()}{self.of[1:]}: {self.done} (asked: {self.asked}). {self.means}"
        )


def edges_departed(study, protocol, ran):
    """Angles and finishes of the blades that ran: unlike what was asked, or not noted.

    Parameters
    ----------
    study : Study
    protocol : Protocol
    ran : set of str
        Ids of the blades that were cut; of others nothing is told, nor of any while its facts
        are sealed.
    """
    if not is_sealed(study):
        yield from angles_departed(study, protocol, ran)
        yield from _finish(study, protocol, ran)


def angles_departed(study, protocol, ran, means=OF_LIVES):
    """Edge angles that differ from the one asked, and those that nobody noted."""
    wish = protocol.edge_preparation.included_angle_deg
    if wish is None:
        return
    blades = [blade for blade in study.blades if blade.id in ran]
    off = [
        blade
        for blade in blades
        if blade.included_angle_deg is not None and abs(blade.included_angle_deg - wish) > ANGLE_DEG
    ]
    others = _by_angle(off)
    if others and means == OF_LIVES and study.reading_name == WIDTH:
        means = f"{OF_LIVES} {_by_the_wedge(wish, [blade.included_angle_deg for blade in off])}"
    unknown = [blade.id for blade in blades if blade.included_angle_deg is None]
    said = f"{wish / 2:g}° per side ({wish:g}° included)"
    if others:
        yield ProtocolDeparture(
            "edge angle", said, "; ".join(others), means,
        )  # fmt: skip
    if unknown:
        yield ProtocolDeparture(
            "edge angle", said, f"not noted: {listed(unknown)}",
            "Whether those edges were ground alike is not known.",
        )  # fmt: skip


def _by_angle(blades):
    """Blades with their angle, those of one angle together."""
    alike: dict[str, list[str]] = {}
    for blade in blades:
        alike.setdefault(blade.angle_words(), []).append(blade.id)
    return [f"{listed(ids)} {angle}" for angle, ids in alike.items()]


def _by_the_wedge(wish_deg, included_deg):
    """How far angles move a life to an edge width, by `angle_share`'s wedge; of many the ends."""
    angles = sorted(set(included_deg))
    first, *others = angles if len(angles) <= ANGLES_TOLD else (angles[0], angles[-1])

    def told(angle_deg, says=""):
        share = tan(radians(wish_deg) / 2) / tan(radians(angle_deg) / 2)
        return f"{angle_deg / 2:g}° a side {says}{share:.2f} times"

    return (
        f"At equal worn volume a cut, {told(first, 'alone makes a life to an edge width ')} that "
        f"at {wish_deg / 2:g}°{''.join(f', {told(angle)}' for angle in others)}."
    )


def _finish(study, protocol, ran):
    """Edges that were finished unlike one another, and those that nobody noted."""
    asked, noted = protocol.edge_preparation.finish, defaultdict(list)
    written: dict[str, str] = {}
    for blade in study.blades:
        if blade.id in ran:
            typed = blade.edge_finish or ""
            key = " ".join(typed.casefold().split())
            noted[written.setdefault(key, typed)].append(blade.id)
    blank = noted.pop("", None)
    if len(noted) > 1:
        yield ProtocolDeparture(
            "edge finish", asked,
            "; ".join(f"{finish}: {listed(ids)}" for finish, ids in noted.items()),
            "Edges that were finished unlike start unlike, and part of a difference may be that.",
        )  # fmt: skip
    elif noted and _other_grit(asked, *noted):
        yield ProtocolDeparture(
            "edge finish", asked, "; ".join(noted),
            "Edges of another grit start and wear otherwise; lives to it are other lives.",
        )  # fmt: skip
    if blank:
        yield ProtocolDeparture(
            "edge finish", asked, f"not noted: {listed(blank)}",
            "Whether those edges were finished alike is not known.",
        )  # fmt: skip


def _other_grit(asked, noted):
    """Whether a grit is named in both, more than half as coarse or fine again."""
    wanted, used = ASKED_GRIT.findall(asked), NOTED_GRIT.findall(noted)
    if not (wanted and used):
        return False
    last = int(re.sub(r"\D", "", used[-1]))  # that of the last strokes
    times = last / int(wanted[-1])
    return not 1 / SAME_GRIT <= times <= SAME_GRIT


def limit_departed(study, protocol):
    """A life that ends at another reading than the protocol's."""
    asked = protocol.limit
    if asked is None or study.reading_name != asked.reading or study.limit_value == asked.value:
        return
    unit = next((rule.unit for rule in protocol.readings if rule.name == asked.reading), "")
    yield ProtocolDeparture(
        "limit", f"a limit of {_sized(asked.value, unit)}",
        f"the study's is {_sized(study.limit_value, unit)}",
        "Lives to another limit are other lives; compare them with none to the protocol's.",
    )  # fmt: skip


def _sized(value, unit):
    return f"{value:g} {unit}".rstrip() if isinstance(value, int | float) else str(value)
