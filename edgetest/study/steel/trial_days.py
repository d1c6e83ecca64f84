"""Which day is meant, where the day of a trial is not written year first?"""

import re
from datetime import date, datetime

YEAR_LAST = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")
MONTH_NAMED = ("%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y", "%Y %b %d", "%Y %B %d")


def senses_of_day(typed: str) -> list[date]:
    """The days that a day may be that names its month, or is written with its year last."""
    plain = typed.strip()
    met = YEAR_LAST.fullmatch(plain)
    if met is None:
        return _month_named(" ".join(re.sub(r"[.,]", " ", plain).split()))
    one, two, year = (int(part) for part in met.groups())
    found = []
    for month, day in {(two, one): 0, (one, two): 0}:
        try:
            found.append(date(year, month, day))
        except ValueError:
            continue
    return found


def _month_named(plain: str) -> list[date]:
    for form in MONTH_NAMED:
        try:
            return [datetime.strptime(plain, form).date()]
        except ValueError:
            continue
    return []


def day_as_meant(typed: str) -> str:
    """The day year first where it can be one day alone; else as typed."""
    senses = senses_of_day(typed)
    return senses[0].isoformat() if len(senses) == 1 else typed
