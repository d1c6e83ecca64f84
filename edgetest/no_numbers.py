"""What does a cell say where a number is wanted, and what mends it?"""

import re

DIGITS = "write digits only, such as 12.5"
NOTHING_READ = {"n/a", "na", "nan", "none", "null", "nil", "-", "--", ".", "?", "x", "tbd"}
NOTHING_HERE = "leave it blank where nothing was read"
LONGEST_SHOWN = 60  # letters of a cell that a message shows
_POUNDS = re.compile(r"(\d+)\s*(?:lbs?|pounds?)\.?,?\s*(\d+(?:\.\d+)?)\s*(?:oz|ounces?)\.?")
_LETTER_FOR_DIGIT = str.maketrans({"l": "1", "I": "1", "O": "0", "o": "0"})


def no_number(text, clean, *, number):
    """What is wrong with a text that is no number, and the mend that fits it.

    Parameters
    ----------
    text, clean : str
        As typed, and with one kind of dash and blank.
    number : re.Pattern
        What a number looks like.

    Returns
    -------
    (str, str)
    """
    shown = shortened(text)
    if clean.startswith("#"):
        mend = "mend its formula or widen its column, or leave it blank where nothing was read"
        return f'"{shown}" is an error that a spreadsheet shows', mend
    what = f'"{shown}" is not a number'
    if clean.casefold().lstrip("+-") in ("inf", "infinity", "∞"):
        return what, "write > and the most that was read: >40"
    if clean.casefold() in NOTHING_READ:
        return what, NOTHING_HERE
    if pounds := _POUNDS.fullmatch(clean.casefold()):
        ounces = 16 * int(pounds[1]) + float(pounds[2])
        return f'"{shown}" is in two units', f"write {ounces:g} oz"
    meant = clean.translate(_LETTER_FOR_DIGIT)
    if meant != clean and number.fullmatch(meant):
        return f'"{shown}" holds a letter', f"write {meant} if that was meant"
    sure = clean.strip("?~ ")
    if sure != clean and number.fullmatch(sure):
        return what, f"write {sure}, and the doubt in the column note"
    return what, DIGITS


def shortened(text):
    """A text as a message shows it."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"
