"""Can a reading, or the limit of a life, be what its unit says?"""

from math import isfinite

from edgetest.doubts import Where, doubt
from edgetest.store.plausible import USUAL

# Readings that are doubted outside the range beyond which their log asks about them.
UNITS = {"edge_width_um": "µm", "w30_um": "µm", "sever_force_gf": "gf"}


def implausible_doubts(name, readings, reading, limit=None):
    """A doubt for every reading in use that can hardly be one, and for such a limit.

    Parameters
    ----------
    name : str
        Name of the log.
    readings : sequence of UsedReading
    reading : str
        Column of the log; nothing is known of others than edge widths and severing forces.
    limit : float, optional

    Returns
    -------
    list of Doubt
    """
    if reading not in UNITS:
        return []
    (least, most), unit = USUAL[reading], UNITS[reading]
    ends = f"{least:g} to {most:g} {unit}"
    found = [
        doubt(
            "implausible_reading",
            where=Where(name, each.line, each.blade, each.cuts, each.value),
            ends=ends,
        )
        for each in readings
        if not each.excluded and isfinite(each.value) and not least <= each.value <= most
    ]
    if limit is not None and not least <= limit <= most:
        words = {"limit": f"{limit:g} {unit}", "ends": ends}
        found.append(doubt("implausible_limit", where=Where(value=float(limit)), **words))
    return found
