"""Which pieces are cracked from their use, as their notes say?"""

import re

_CRACK = re.compile(r"\b(?:cracks?|cracked|hairlines?)\b", re.I)
# "no crack", "not cracked", "without any cracks", "cracks: none", "crack cut off"
_NONE = re.compile(
    r"\b(?:no|not|never|without|free (?:of|from))\s+(?:\w+\s+){0,2}?"
    r"(?:cracks?|cracked|hairlines?)\b"
    r"|\bcracks?\s*[:=]?\s+(?:none|no)\b"
    r"|\b(?:cracks?|hairlines?)\s+(?:\w+\s+){0,4}?(?:cut|sawn|ground)\s+(?:off|away|out)\b",
    re.I,
)


def said_cracked(note: str) -> bool:
    """Whether the note of a piece says that it is cracked, and not that no crack is left."""
    return bool(_CRACK.search(_NONE.sub(" ", note or "")))
