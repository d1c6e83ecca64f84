"""Which temper left a coupon as it is? After a hotter one, a cooler one changes nothing."""

from collections.abc import Iterator

from edgetest.steel.steel_seen import HeatSeen, TemperSeen
from edgetest.steel.surely import high_of, true_readings
from edgetest.steel.temper import tempering_parameter

USUAL_TEMPER_MIN = 60.0  # where no time is written; common practice
COOLEST_C, HOTTEST_C = 20.0, 720.0  # of what can be called a temper
OVEN_C = 5.0  # an oven holds no closer; common practice


def tempers_left(heat: HeatSeen) -> Iterator[tuple[TemperSeen, TemperSeen]]:
    """Each temper of a heat, with the one that left the steel as it was read after it.

    That is the temper itself, or one before it that was hotter and went further. One that was read
    harder than after the hotter was made before it, whatever the order of the rows; and of several
    coupons of one heat each may have had a temper of its own.
    """
    furthest: TemperSeen | None = None
    for temper in heat.tempers:
        if heat.count == 1 and furthest is not None and _changes_nothing(temper, furthest):
            yield temper, furthest
            continue
        yield temper, temper
        if temper.temperature_c is not None and (
            furthest is None or how_far(temper) > how_far(furthest)
        ):
            furthest = temper


def left_last(heat: HeatSeen) -> TemperSeen | None:
    """The temper that left a heat as it is now; None where there is none."""
    return next((left for _, left in reversed([*tempers_left(heat)])), None)


def how_far(temper: TemperSeen) -> float:
    """The tempering parameter of a temper; an hour where no time is written."""
    hours = temper.repeats * (temper.time_min or USUAL_TEMPER_MIN) / 60
    at = min(max(temper.temperature_c or COOLEST_C, COOLEST_C), HOTTEST_C)
    return float(tempering_parameter(at, hours))


def _changes_nothing(temper: TemperSeen, furthest: TemperSeen) -> bool:
    """Whether a temper was cooler than one before it, went less far, and was read no harder."""
    if temper.temperature_c is None or furthest.temperature_c is None:
        return False
    cooler = temper.temperature_c < furthest.temperature_c - OVEN_C
    if not cooler or how_far(temper) >= how_far(furthest):
        return False
    now, then = (true_readings(one.hardness) for one in (temper, furthest))
    return not (now and then and max(map(high_of, now)) > max(map(high_of, then)))
