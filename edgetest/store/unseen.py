"""Which letters of a text are not seen, and how is such a text shown?

A name is refused that holds one: two names could look the same, or a name be read in another
order than it stands (Unicode Technical Report 36, "Unicode Security Considerations", on
bidirectional text). Any other text is shown with the letter's number in its place.
"""

import re
import unicodedata

JOINERS = "\u200c\u200d"  # parts of words in Persian and Indic scripts, and of composed signs
BLANKS = "\u115f\u1160\u3164\uffa0\u2800"  # letters and signs that are drawn as nothing
_KINDS = ("Cc", "Cf", "Cs", "Zl", "Zp")
MEND = "type the name again"


def first_unseen(text: str) -> str:
    """The first letter that is not seen, as "U+202E"; "" if every letter is."""
    return next((_number(letter) for letter in text if _is_unseen(letter)), "")


def shown_whole(text: str) -> str:
    """The text with the number of each unseen letter in its place; line breaks and tabs stay."""
    return "".join(
        f"⟨{_number(letter)}⟩" if letter not in "\n\t\r" and _is_unseen(letter) else letter
        for letter in text
    )


def name_fault(text: str) -> str:
    """Why a name is not what it seems; "" where it is."""
    if number := first_unseen(text):
        return f"it holds a letter that is not seen ({number})"
    if re.match(r"\s*\.", text):
        return "it begins with a dot, and such names are hidden"
    return ""


def _is_unseen(letter: str) -> bool:
    kind = unicodedata.category(letter)
    return letter in BLANKS or (kind in _KINDS and letter not in JOINERS)


def _number(letter: str) -> str:
    return f"U+{ord(letter):04X}"
