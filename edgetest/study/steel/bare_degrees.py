"""Is a quantity that was typed as a number alone now given its unit?"""

import re
from collections.abc import Mapping
from typing import Any

_NUMBER = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(.*)")


def given_its_unit(there: Mapping[str, Any], row: Mapping[str, Any]) -> bool:
    """Whether a row says of a temper's bare degrees in which unit they were: 400, and "400 °F".

    Parameters
    ----------
    there : mapping
        The temper as it stands.
    row : mapping
        What is to stand in its place.
    """
    return gains_a_unit(there.get("temperature_c", ""), row.get("temperature_c", ""))


def gains_a_unit(was: Any, now: Any) -> bool:
    """Whether a cell says the number that stood there alone, and now with its unit."""
    if isinstance(was, list | bool) or isinstance(now, list | bool):
        return False
    met, new = _NUMBER.fullmatch(str(was)), _NUMBER.fullmatch(str(now))
    if met is None or new is None or met[2] or not new[2]:
        return False
    return float(met[1].replace(",", ".")) == float(new[1].replace(",", "."))
