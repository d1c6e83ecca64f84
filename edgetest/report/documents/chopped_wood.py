"""What is weak in the wood that was chopped: wet, knotty, unknown, or of no published hardness?"""

from collections import Counter

from edgetest.chop.as_chopped import GREEN_PCT
from edgetest.chop.wood import water_of
from edgetest.report.documents.tools_beside import beside
from edgetest.study.chop.piece_woods import DRY_PCT
from edgetest.study.chop.told_notes import frost_told, knot_told
from edgetest.study.words import listed

# Told in the row of the wood on the first page; their advice to the maker stands on the second.
SAID_OF_WOOD = {"wood_unknown", "moisture_assumed", "moisture_by_word", "wood_reckoned"}
MOST_ROWS = 6  # of so many pieces the rows of the log are named
UNPUBLISHED = {
    "wood_reckoned": "no published hardness of {}",
    "green_hardness_assumed": "no published green hardness of {}",
}


def wood_weaknesses(result, blade):
    """What is weak in a tool's pieces and in those of the tools beside it; "" where nothing is.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    str
        "Knots in 2 of 6 pieces (they cost strokes). Pieces of C1 beside it: wood not ..."
    """
    own = _weak(result, blade)
    said = [_capital("; ".join(own))] if own else []
    for other in beside(result, blade)[1:]:
        theirs = _weak(result, other)
        if theirs and theirs == own:
            said.append(f"Pieces of {other} beside it alike")
        elif theirs:
            said.append(f"Pieces of {other} beside it: {'; '.join(theirs)}")
    return ". ".join(said) + "." * bool(said)


def _weak(result, blade):
    """The weaknesses of one tool's pieces, a part of a sentence each."""
    pieces = [one for one in result.pieces if one.blade == blade]
    rows = {row.line: row for row in result.log.rows}
    waters = [rows[one.row].moisture_pct for one in pieces]
    many = {
        "knots in {} (they cost strokes)": sum(bool(one.knots) for one in pieces),
        "a note and the count of knots disagree for {}": _told(knot_told, rows, pieces),
        "told frozen for {}, taken as thawed": _told(frost_told, rows, pieces),
        **_wet_words(waters),
        "wood not noted for {}": sum(one.wood is None for one in pieces),
    }
    noun = "piece" if len(pieces) == 1 else "pieces"
    said = [words.format(f"{n} of {len(pieces)} {noun}") for words, n in many.items() if n]
    open_rows = [one.row for one, water in zip(pieces, waters, strict=True) if water is None]
    said += _water_open(open_rows, f"{len(pieces)} {noun}", some=len(open_rows) < len(pieces))
    return [*said, *_unpublished(zip((one.wood for one in pieces), waters, strict=True))]


def _told(told, rows, pieces):
    """Of how many pieces a row of the log tells something."""
    return sum(bool(told(rows[one.row])) for one in pieces)


def _water_open(rows, of, *, some):
    """Of how many pieces nobody noted the water; their rows in the log where it is of `some`."""
    if rows:
        where = f" ({'row' if len(rows) == 1 else 'rows'} {listed(map(str, rows))})"
        yield f"water not noted for {len(rows)} of {of}" + where * (some and len(rows) <= MOST_ROWS)


def _unpublished(pieces):
    """Woods whose hardness was worked out, a part of a sentence for each way.

    `pieces` are the wood of each, or None, and its water as typed.
    """
    told = {
        (one.code, wood.name): None
        for wood, water in pieces
        for one in (wood.doubts if wood is not None else ())
        if _green(water) or one.code != "green_hardness_assumed"
    }
    said: set[str] = set()  # of a wood without any hardness its green one is not missed apart
    for code, words in UNPUBLISHED.items():
        names = [name for found, name in told if found == code and name not in said]
        said.update(names)
        if names:
            yield words.format(listed(names))


def _green(typed):
    """Whether a piece may have been so wet that the hardness of green wood counts."""
    return typed is None or water_of(typed).pct >= GREEN_PCT


def _wet(typed):
    """Whether a piece was wetter than dry lumber, as far as somebody measured its water."""
    return isinstance(typed, float | int) and typed > DRY_PCT


def _wet_words(waters):
    """Of how many pieces the wood was wet, measured or by a word; of how many by another word.

    Wet pieces are counted together: where green is told of some, those measured are green too.
    """
    typed = (water.strip().casefold() for water in waters if isinstance(water, str))
    words = Counter("-".join(word.split()) for word in typed)  # air dry is air-dry
    wet = sum(map(_wet, waters))
    green = {word: n for word, n in words.items() if _green(word)}
    measured = f"wetter than {DRY_PCT:g} %"
    told = {}
    if wet and green:
        many = listed(f"{n} by the word {word} alone" for word, n in green.items())
        told[f"green or {measured} in {{}} (softer than dry), {many}"] = wet + sum(green.values())
    elif wet:
        told[f"{measured} in {{}} (softer than dry)"] = wet
    else:
        told |= {f"{word} in {{}}, by that word alone ({_taken_as(word)})": n
                 for word, n in green.items()}  # fmt: skip
    return told | {f"{word} in {{}}, by that word alone": n
                   for word, n in words.items() if word not in green}  # fmt: skip


def _taken_as(word):
    """What a word of green wood means; of `wet` nobody knows whether it was rain."""
    return "taken as green, never dried" if word == "wet" else "softer than dry"


def _capital(words):
    return f"{words[:1].upper()}{words[1:]}"
