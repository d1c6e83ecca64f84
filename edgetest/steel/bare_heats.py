"""Was a temperature or a time typed without its unit, and what would it be in another?"""

from edgetest.units import Typed, as_typed, fahrenheit_to_celsius


def typed_bare(number):
    """Whether a quantity was typed as a number alone; one never typed was not."""
    if not isinstance(number, Typed):
        return False
    return isinstance(number.typed, int | float) or not any(
        letter.isalpha() for letter in number.typed.casefold().replace("e", "")
    )


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
