"""Which temperatures of a steel's evidence may be °F, typed where °C is asked for?"""

from collections.abc import Iterator
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.steel.bare_heats import if_fahrenheit, typed_bare
from edgetest.store.records import Study
from edgetest.study.steel.steel_rows import IN_EVIDENCE, steel_rows_of

# From here a bare number is asked about; all of it is common practice, no source. The tempers of
# edges, 150 to 260 °C, are 300 to 500 °F; warm quenching oil, 40 to 70 °C, is 100 to 160 °F.
TEMPER_C = 300.0
HEAT_C = 1100.0
TANK_C = {"oil": 90.0, "warm_water": 80.0, "water": 60.0, "brine": 60.0}


def asked_of_steel(study: Study) -> Iterator[UnusableInput]:
    """Questions about bare temperatures that read as well, or better, in °F.

    A number that was typed with its unit is never asked about.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    rows = steel_rows_of(study)
    for k, heat in enumerate(rows.heats, 1):
        where = f"{IN_EVIDENCE}, heats {k}"
        yield from _asked(heat.heat_c, HEAT_C, f"{where}, heat_c", "a quench from")
        most = TANK_C.get(heat.medium or "")
        if heat.medium and most is not None:
            said = heat.medium.replace("_", " ")
            yield from _asked(heat.medium_c, most, f"{where}, medium_c", f"a tank of {said} at")
    for k, temper in enumerate(rows.tempers, 1):
        where = f"{IN_EVIDENCE}, tempers {k}, temperature_c"
        yield from _asked(temper.temperature_c, TEMPER_C, where, "a temper at")
    packed = rows.pack.temper if rows.pack else None
    if packed is not None and not isinstance(packed, str):
        where = f"{IN_EVIDENCE}, pack, temper, temperature_c"
        yield from _asked(packed.temperature_c, TEMPER_C, where, "a temper at")


def _asked(number: Any, usual_c: float, where: str, said: str) -> Iterator[UnusableInput]:
    """The question about one temperature; none where it is usual, or says its unit."""
    if number is None or number < usual_c or not typed_bare(number):
        return
    in_f, mend = if_fahrenheit(number)
    yield UnusableInput(f"{said} {number:g} °C is unusually hot; {in_f}", where, mend)
