"""Which pieces are cracked from their use, as their notes say?"""

import re

# Keys under which a crack as found is looked for in vain: a piece has none, only its heats do.
IN_ITS_NOTE = {
    "cracked": 'write it into its note, as in note = "crack at the rim": cracked = … is of a heat, '
    "and says that the quench cracked it",
}
_CRACK = re.compile(r"\b(?:cracks?|cracked|hairlines?)\b", re.I)
# "no crack", "not cracked", "without any cracks", "cracks: none", "crack cut off"; no "crack not
# cut off yet", "crack to be cut off", "not to be used until the crack is cut off"
_NONE = re.compile(
    r"\b(?:no|not|never|without|free (?:of|from))\s+(?:\w+\s+){0,2}?"
    r"(?:cracks?|cracked|hairlines?)\b"
    r"|\bcracks?\s*[:=]?\s+(?:none|no)\b"
    r"|(?<!until )(?<!until the )(?<!unless the )\b(?:cracks?|hairlines?)\s+"
    r"(?:(?!(?:not|never|to|be|must|should|will|yet)\b)\w+\s+){0,4}?"
    r"(?:cut|sawn|ground)\s+(?:off|away|out)\b(?!\s+(?:tomorrow|later|first))",
    re.I,
)


def said_cracked(note: str) -> bool:
    """Whether the note of a piece says that it is cracked, and not that no crack is left."""
    return bool(_CRACK.search(_NONE.sub(" ", note or "")))
