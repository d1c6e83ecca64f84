"""Where do the shop's own instruments disagree: tester and files, thermometer and magnet, oven?"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Any

from edgetest.steel.bare_heats import degrees_told, perhaps_fahrenheit
from edgetest.steel.further_tempers import (
    COOLEST_C,
    USUAL_TEMPER_MIN,
    how_far,
    tempers_left,
)
from edgetest.steel.steel_nodes import A1_C, CURIE_C
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, SteelSeen, TemperSeen
from edgetest.steel.surely import (
    all_harder,
    came_higher,
    comparable,
    is_hard,
    surely_harder,
    true_readings,
)
from edgetest.steel.temper_softening import most_taken_hrc
from edgetest.units import fahrenheit_to_celsius

Clash = tuple[str, str, tuple[HeatSeen, ...], dict[str, Any]]  # code, piece, heats, words
Tempers = tuple[TemperSeen, ...]
READS_WRONG_C = 30.0  # by so much a shop's thermometer may be off; common practice, no source
LOW_A1_C = A1_C - 20.0  # nickel and manganese of usual steels lower it so far; from memory
# A temper from here takes at the least so much off hard steel, plain or rich in alloy, up to where
# the latter harden again; of handbook curves, from memory.
WARM_C, SECONDARY_C, LEAST_DROP_HRC = 250.0, 400.0, 3.0


def clashes(seen: SteelSeen) -> Iterator[Clash]:
    """Each clash of two instruments, with the piece and the heats that it is about."""
    yield from _tester_and_files(seen)
    for heat in seen.heats:
        if told := _thermometer_and_magnet(heat):
            yield told, heat.piece, (heat,), {"heat_c": f"{heat.heat_c:.0f}"}
    yield from _read_apart_after_temper(seen)
    yield from _hotter_temper_harder(seen)
    yield from _drawn_too_far(seen)
    yield from _read_up(seen)


def tester_differs(readings: tuple[HardnessSeen, ...]) -> bool:
    """Whether a tester's number and a bracket of files at one place surely differ."""
    return any(
        (surely_harder(a, b) or surely_harder(b, a)) and {a.where, b.where} != {"skin", "below"}
        for a, b in combinations(readings, 2)
        if a.by_files != b.by_files
    )


def _tester_and_files(seen: SteelSeen) -> Iterator[Clash]:
    for piece in seen.pieces:
        if tester_differs(piece.hardness):
            yield "tester_and_files", piece.id, (), {}
    for heat in seen.heats:
        read = (heat.hardness, *(temper.hardness for temper in heat.tempers))
        if any(map(tester_differs, read)):
            yield "tester_and_files", heat.piece, (heat,), {}


def read_apart(readings: tuple[HardnessSeen, ...]) -> bool:
    """Whether two of the readings that speak of the steel, of one instrument, surely differ."""
    return any(
        surely_harder(a, b) or surely_harder(b, a)
        for a, b in combinations(true_readings(readings), 2)
        if a.by_files == b.by_files
    )


def _read_apart_after_temper(seen: SteelSeen) -> Iterator[Clash]:
    """A temper after which two places, or two coupons, were surely not one as hard as the other."""
    for heat in seen.heats:
        for temper in heat.tempers:
            if read_apart(temper.hardness):
                at_c = temper.temperature_c
                said = "" if at_c is None else f" at {degrees_told(at_c)}"
                yield "temper_read_apart", heat.piece, (heat,), {"temper": said, "value": at_c}


def _thermometer_and_magnet(heat: HeatSeen) -> str:
    """Which of the two clashes a heat shows; "" where thermometer and magnet agree."""
    if heat.heat_c is None:
        return ""
    if heat.magnet == "holds" and heat.heat_c > CURIE_C + READS_WRONG_C:
        return "magnetic_when_hot"
    if heat.magnet == "lets_go" and heat.heat_c < LOW_A1_C - READS_WRONG_C:
        return "not_magnetic_when_cold"
    return ""


def left_by(temper: TemperSeen, before: tuple[HardnessSeen, ...]) -> tuple[HardnessSeen, ...]:
    """The most that a temper leaves of readings before it: less by what a warm one takes."""
    at = temper.temperature_c
    if at is None or not WARM_C <= at < SECONDARY_C:
        return before
    return tuple(
        _less(one, LEAST_DROP_HRC) if is_hard(one) else one for one in before
    )  # fmt: skip


def _less(one: HardnessSeen, by_hrc: float) -> HardnessSeen:
    """A reading with both its ends lower."""
    low, high = (None if end is None else end - by_hrc for end in (one.low_hrc, one.high_hrc))
    return replace(one, low_hrc=low, high_hrc=high)


def read_up(heat: HeatSeen) -> Iterator[tuple[TemperSeen, str]]:
    """Tempers after which a coupon was read higher than before, not surely so, and since when.

    From where alloys harden again a temper may well read higher. The likelihood leaves such a
    reading out, so that a slip raises no chance.
    """
    for k, temper in enumerate(heat.tempers):
        if temper.temperature_c is not None and temper.temperature_c >= SECONDARY_C:
            continue
        earlier = [("as quenched", heat.hardness)]
        earlier += [
            (f"after {degrees_told(one.temperature_c)}", one.hardness)
            for one in heat.tempers[:k]
            if _no_hotter(one, temper)
        ]
        pairs = [
            (since, comparable(temper.hardness, left_by(temper, read))) for since, read in earlier
        ]
        higher = [(since, *pair) for since, pair in pairs if _all_came_higher(*pair)]
        if higher and not any(all_harder(now, then) for _, now, then in higher):
            yield temper, higher[-1][0]


def _all_came_higher(now: Sequence[HardnessSeen], then: Sequence[HardnessSeen]) -> bool:
    return bool(now and then) and all(came_higher(a, b) for a in now for b in then)


def _read_up(seen: SteelSeen) -> Iterator[Clash]:
    """A reading after a temper that lies above one before it, by no more than readings miss by."""
    for heat in seen.heats:
        for temper, since in read_up(heat):
            at_c = temper.temperature_c
            after = "the temper" if at_c is None else degrees_told(at_c)
            words = {"after": after, "since": since, "value": at_c}
            yield "temper_read_up", heat.piece, (heat,), words


def _hotter_temper_harder(seen: SteelSeen) -> Iterator[Clash]:
    """Two coupons of one piece, both hardened: the hotter temper left one surely harder."""
    for one, other in combinations(seen.heats, 2):
        if one.piece != other.piece or one.carburised != other.carburised:
            continue
        if not (_read_hard(one) and _read_hard(other)):
            continue  # one may have hardened less: its quench explains it, not its temper
        for cool, hot in ((one, other), (other, one)):
            if all_harder(*comparable(hot.hardness, cool.hardness)):
                continue  # it was harder before the temper
            pairs = ((a, b) for a in _own(cool) for b in _own(hot) if _further(b, a))
            met = next((p for p in pairs if _surely_harder_after(p[1], p[0])), None)
            if met is not None:
                words = {
                    "cool": degrees_told(met[0].temperature_c),
                    "hot": degrees_told(met[1].temperature_c),
                }
                yield "hotter_temper_harder", hot.piece, (hot, cool), words


def _drawn_too_far(seen: SteelSeen) -> Iterator[Clash]:
    """A temper after which a coupon was read far softer than such a temper leaves it."""
    for heat in seen.heats:
        for k, temper in enumerate(heat.tempers):
            fallen = (_fallen(before, since, temper) for before, since in _before(heat, k))
            if words := next(filter(None, fallen), None):
                yield "drawn_too_far", heat.piece, (heat,), words


def unsure_degrees(heats: Iterable[HeatSeen]) -> tuple[HeatSeen, TemperSeen] | None:
    """The first temper that may have been in °F, with its heat; None where there is none.

    What was read softer after it than so cool a temper leaves it says that it was in °C; what was
    read harder after it than before fits neither. Steel that hardens in air is tempered so hot.
    """
    for heat in heats:
        for k, temper in enumerate(heat.tempers):
            at_c = temper.temperature_c
            if heat.medium == "air" or not perhaps_fahrenheit(at_c):
                continue
            cool = replace(temper, temperature_c=fahrenheit_to_celsius(float(at_c or 0)))
            of = replace(heat, tempers=(*heat.tempers[:k], cool, *heat.tempers[k + 1 :]))
            harder = all_harder(*comparable(temper.hardness, heat.hardness))
            if not harder and not any(_fallen(*read, cool) for read in _before(of, k)):
                return heat, temper
    return None


def _before(heat: HeatSeen, k: int) -> Iterator[tuple[tuple[HardnessSeen, ...], Tempers]]:
    """Each reading before a temper, with the tempers that may have softened it since.

    A reading after a hotter one is held against what came behind it alone: in whichever order the
    two were made, the cooler leaves it no softer.
    """
    yield heat.hardness, heat.tempers[: k + 1]
    for n, one in enumerate(heat.tempers[:k]):
        if _no_hotter(one, heat.tempers[k]):
            yield one.hardness, heat.tempers[: k + 1]
        elif one.temperature_c is not None:
            yield one.hardness, heat.tempers[n + 1 : k + 1]


def _fallen(
    before: tuple[HardnessSeen, ...], since: Tempers, temper: TemperSeen
) -> dict[str, Any] | None:
    """The words of a drop that tempers cannot make; None where they can, or are beyond charts."""
    known = [(most, one) for one in since if (most := _most_taken(one)) is not None]
    if len(known) < len(since):
        return None
    most, furthest = max(known, key=lambda one: one[0])
    left = tuple(_less(one, most) for one in before)
    if not all_harder(*comparable(left, temper.hardness)):
        return None
    at = degrees_told(furthest.temperature_c)
    return {"temper": at, "most": f"{most:.0f}", "value": temper.temperature_c}


def _most_taken(temper: TemperSeen) -> float | None:
    """The most that a temper takes off, HRC; None of one beyond the charts, or not told."""
    if temper.temperature_c is None or temper.temperature_c < COOLEST_C:
        return None
    hours = temper.repeats * (temper.time_min or USUAL_TEMPER_MIN) / 60
    return most_taken_hrc(temper.temperature_c, max(hours, USUAL_TEMPER_MIN / 60))


def _no_hotter(one: TemperSeen, other: TemperSeen) -> bool:
    """Whether a temper was surely no hotter than another."""
    at, after = one.temperature_c, other.temperature_c
    return at is not None and after is not None and at <= after


def _read_hard(heat: HeatSeen) -> bool:
    """Whether a coupon was read hard as quenched."""
    return any(map(is_hard, true_readings(heat.hardness)))


def _surely_harder_after(hot: TemperSeen, cool: TemperSeen) -> bool:
    return all_harder(*comparable(hot.hardness, cool.hardness))


def _further(hot: TemperSeen, cool: TemperSeen) -> bool:
    """Whether a temper goes surely further than another, and neither hardens again."""
    if hot.temperature_c is None or cool.temperature_c is None:
        return False
    if not cool.temperature_c < hot.temperature_c < SECONDARY_C:
        return False
    return how_far(hot) >= how_far(cool)


def _own(heat: HeatSeen) -> list[TemperSeen]:
    """Tempers that left the steel as it was read after them, none before them being hotter."""
    return [temper for temper, left in tempers_left(heat) if left is temper]
