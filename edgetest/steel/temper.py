"""Which tempers are worth the same: the tempering parameter and its equivalences."""

from dataclasses import asdict, dataclass
from math import log10

from edgetest.doubts import doubt, told
from edgetest.errors import UnusableInput

ZERO_C = 273.15
_SECONDS = {"h": 3600.0, "min": 60.0, "s": 1.0}


@dataclass(frozen=True)
class TemperParameter:
    """T (C + log10 t) with the units it was made with; comparable only in the same units."""

    value: float  # K, as printed divided by 1000
    constant: float
    time_unit: str

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self) | {
            "unit": f"1000 K, t in {self.time_unit}",
            **told((doubt("needs_martensite_temper"),)),
        }

    def summary(self):
        """The parameter with the constant and the time unit it needs to be read."""
        return (
            f"tempering parameter {self.value:.2f} "
            f"(T in K/1000, C = {self.constant:g}, t in {self.time_unit})"
        )


LOWEST_C, HIGHEST_C = 0.0, 727.0  # above, hardened steel turns to austenite again


def _check(temperature_c, duration, where):
    """Raise where this is no temper."""
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        what = f"{temperature_c:g} °C is not a temper"
        raise UnusableInput(what, where, f"give {LOWEST_C:g} to {HIGHEST_C:g} °C")
    if not duration > 0:
        raise UnusableInput(f"{duration:g} is not a positive time", where, "give the soak time")


def tempering_parameter(temperature_c, duration, *, constant=20.0, time_unit="h"):
    """Hollomon-Jaffe parameter of one temper.

    Parameters
    ----------
    temperature_c : float
        Temper temperature, °C.
    duration : float
        Soak time in `time_unit`, > 0.
    constant : float
        C for that unit: about 20 (19.5) with hours, 15.9 with seconds.
    time_unit : {"h", "min", "s"}
        Unit of `duration`; stored with the result, because tables differ in it.

    Returns
    -------
    TemperParameter
        (T/1000)(C + log10 t), T in K.

    Raises
    ------
    UnusableInput
        If the time is not positive, the unit unknown, or the temperature impossible.

    References
    ----------
    .. [1] J. H. Hollomon and L. D. Jaffe, "Time-temperature relations in tempering steel",
       Transactions AIME 162 (1945) 223-249 (volume and pages from memory).
    """
    if time_unit not in _SECONDS:
        raise UnusableInput(f"{time_unit!r} is not a time unit", "time_unit", "use h, min or s")
    _check(temperature_c, duration, "temper")
    kelvin = temperature_c + ZERO_C
    return TemperParameter(kelvin / 1000 * (constant + log10(duration)), constant, time_unit)


def equivalent_hours(temperature_c, hours, other_temperature_c, *, constant=20.0):
    """Hours at another temperature that temper as far as the given temper.

    Parameters
    ----------
    temperature_c, hours : float
        The temper that was done.
    other_temperature_c : float
        Temperature of the temper wanted, °C.
    constant : float
        C with t in hours.

    Returns
    -------
    float
        Hours (may be impractically long or short: say so, do not round).

    Raises
    ------
    UnusableInput
        If a time or temperature is impossible.
    """
    p = tempering_parameter(temperature_c, hours, constant=constant).value
    _check(other_temperature_c, 1.0, "other temper")
    return float(10.0 ** (1000 * p / (other_temperature_c + ZERO_C) - constant))


def equivalent_temperature_c(temperature_c, hours, other_hours, *, constant=20.0):
    """Temperature that tempers as far in `other_hours` as the given temper did.

    Parameters
    ----------
    temperature_c, hours : float
        The temper that was done.
    other_hours : float
        Soak time wanted, hours.
    constant : float
        C with t in hours.

    Returns
    -------
    float
        Temperature, °C.

    Raises
    ------
    UnusableInput
        If a time or temperature is impossible.
    """
    p = tempering_parameter(temperature_c, hours, constant=constant).value
    _check(temperature_c, other_hours, "other temper")
    return 1000 * p / (constant + log10(other_hours)) - ZERO_C


def combined_temper(tempers, *, constant=20.0):
    """Several tempers in turn as one parameter: each is carried over into hours of the next.

    Parameters
    ----------
    tempers : sequence of (temperature_c, hours)
        In the order done.
    constant : float
        C with t in hours.

    Returns
    -------
    TemperParameter
        Parameter of the whole sequence; two soaks at one temperature count as their sum.

    Raises
    ------
    UnusableInput
        If there is no temper, or a time or temperature is impossible.
    """
    tempers = list(tempers)
    if not tempers:
        raise UnusableInput("no temper given", "tempers", "give at least one (°C, hours)")
    carried_h, previous_c = 0.0, tempers[0][0]
    for temperature_c, hours in tempers:
        _check(temperature_c, hours, "temper")
        if carried_h:
            carried_h = equivalent_hours(previous_c, carried_h, temperature_c, constant=constant)
        carried_h += hours
        previous_c = temperature_c
    return tempering_parameter(previous_c, carried_h, constant=constant)
