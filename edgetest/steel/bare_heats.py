"""Was a temperature or a time typed without its unit, and what would it be in another?"""

from edgetest.units import Typed, as_typed, fahrenheit_to_celsius

# From here a bare number is asked about: the tempers of edges, 150 to 260 °C, are 300 to 500 °F;
# common practice, no source.
HOT_TEMPER_C, MOST_USUAL_F = 300.0, 500.0


def typed_bare(number):
    """Whether a quantity was typed as a number alone; one never typed was not."""
    if not isinstance(number, Typed):
        return False
    return isinstance(number.typed, int | float) or not any(
        letter.isalpha() for letter in number.typed.casefold().replace("e", "")
    )


def perhaps_fahrenheit(temperature_c):
    """Whether a temper is one of edges in °F and of none in °C, and was typed as a number alone."""
    if temperature_c is None or not typed_bare(temperature_c):
        return False
    return HOT_TEMPER_C <= temperature_c <= MOST_USUAL_F


def degrees_told(number):
    """A temperature with the unit that it was typed in, else in whole °C."""
    return as_typed(number, "c") if isinstance(number, Typed) else f"{number:.0f} °C"


def if_fahrenheit(number):
    """What a bare number would be in °F, and how to write which it was."""
    met = f"{number:g}"
    return (
        f"{met} °F is {fahrenheit_to_celsius(float(number)):.0f} °C",
        f'if it was °F, write "{met} °F"; if it was °C, write "{met} °C"',
    )


def if_hours(number):
    """How to write whether a bare number of minutes was minutes or hours."""
    met = f"{number:g}"
    return f'if it was hours, write "{met} h"; if it was minutes, write "{met} min"'
