"""Is a temper that was typed as a number alone now given its unit?"""

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
    was, now = (_NUMBER.fullmatch(str(of.get("temperature_c", ""))) for of in (there, row))
    if was is None or now is None or was[2] or not now[2]:
        return False
    return float(was[1].replace(",", ".")) == float(now[1].replace(",", "."))
