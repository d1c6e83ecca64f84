"""Which tempers are worth the same: the tempering parameter of Hollomon and Jaffe."""

from math import log10

from edgetest.errors import UnusableInput

ZERO_C = 273.15
CONSTANT = 20.0  # C with t in hours; from memory
LOWEST_C, HIGHEST_C = 0.0, 727.0  # above, hardened steel turns to austenite again


def _check(temperature_c, hours):
    """Raise where this is no temper."""
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        what = f"{temperature_c:g} °C is not a temper"
        raise UnusableInput(what, "temper", f"give {LOWEST_C:g} to {HIGHEST_C:g} °C")
    if not hours > 0:
        raise UnusableInput(f"{hours:g} is not a positive time", "temper", "give the soak time")


def tempering_parameter(temperature_c, hours):
    """Hollomon-Jaffe parameter of one temper, (T/1000)(C + log10 t), T in K and t in hours.

    Parameters
    ----------
    temperature_c, hours : float
        Temper temperature, °C, and soak time.

    Returns
    -------
    float
        K/1000; comparable only with the same C and unit of time.

    Raises
    ------
    UnusableInput
        If the time is not positive or the temperature impossible.

    References
    ----------
    .. [1] J. H. Hollomon and L. D. Jaffe, "Time-temperature relations in tempering steel",
       Transactions AIME 162 (1945) 223-249 (volume and pages from memory).
    """
    _check(temperature_c, hours)
    return (temperature_c + ZERO_C) / 1000 * (CONSTANT + log10(hours))


def equivalent_hours(temperature_c, hours, other_temperature_c):
    """Hours at another temperature (°C) that temper as far, by the tempering parameter.

    Raises
    ------
    UnusableInput
        If a time or temperature is impossible.
    """
    parameter = tempering_parameter(temperature_c, hours)
    _check(other_temperature_c, 1.0)
    return float(10.0 ** (1000 * parameter / (other_temperature_c + ZERO_C) - CONSTANT))


def combined_temper(tempers):
    """Several tempers in turn as one parameter: each is carried over into hours of the next.

    Parameters
    ----------
    tempers : sequence of (temperature_c, hours)
        In the order done.

    Returns
    -------
    float
        Parameter of the whole sequence, K/1000; two soaks at one temperature count as their sum.

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
        _check(temperature_c, hours)
        if carried_h:
            carried_h = equivalent_hours(previous_c, carried_h, temperature_c)
        carried_h += hours
        previous_c = temperature_c
    return tempering_parameter(previous_c, carried_h)
