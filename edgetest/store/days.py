"""Which day is meant, where it is not written year first; and may it be two days?"""

import re
from datetime import date, datetime

from edgetest.units import Unreadable, normal

YEAR_FIRST = re.compile(r"\d{4}-\d\d?-\d\d?")
YEAR_LAST = re.compile(r"(\d{1,2})([./-])(\d{1,2})\2(\d{4}|(?<=/)\d{2})")
MONTH_NAMED = ("%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y", "%Y %b %d", "%Y %B %d")
CENTURY = 2000  # of a year of two digits
MEND = "write year, month and day, as in 2026-05-04"


def parse_date(text: str) -> str:
    """A day as it was written; "03/04/2026" is two days, "2026-02-31" and "31.2.2026" are none.

    Raises
    ------
    Unreadable
    """
    clean = normal(text)
    if YEAR_FIRST.fullmatch(clean):
        try:
            date(*map(int, clean.split("-")))
        except ValueError:
            raise Unreadable(f'"{text}" is no day of the calendar', MEND) from None
    senses = senses_of_day(clean)
    if YEAR_LAST.fullmatch(clean) and not senses:
        raise Unreadable(f'"{text}" is no day of the calendar', MEND)
    if len(senses) > 1:
        either = " or ".join(each.isoformat() for each in senses)
        raise Unreadable(f'"{text}" can be two days', f"write {either}")
    return text


def senses_of_day(typed: str) -> list[date]:
    """The days that a day may be that names its month, or is written with its year last.

    With points the day stands first, wherever such a day is written.
    """
    plain = re.sub(r"^(\d{4})(\d\d)(\d\d)$", r"\3.\2.\1", typed.strip())  # 20260504
    met = YEAR_LAST.fullmatch(plain)
    if met is None:
        return _month_named(" ".join(re.sub(r"[.,]", " ", plain).split()))
    one, two, year = (int(met[k]) for k in (1, 3, 4))
    year += CENTURY * (year < 100)
    orders = [(two, one)] if met[2] == "." or one == two else [(two, one), (one, two)]
    found = []
    for month, day in orders:
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


def calendar_day(typed: str) -> date | None:
    """The one day that was typed, in whichever order; None where it is none, or may be two."""
    meant = day_as_meant(normal(typed))
    if not YEAR_FIRST.fullmatch(meant):
        return None
    try:
        return date(*map(int, meant.split("-")))
    except ValueError:
        return None
