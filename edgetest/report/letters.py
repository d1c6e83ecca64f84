"""Letters: which ones a document can print, and names cut or broken to fit a place."""

import re
from functools import lru_cache
from pathlib import Path

NO_LETTER = "□"  # in a figure's label
LEFT_OUT = "(…)"  # in a document's text, whose foot says so
_BREAK = "\u200b"
_MARK = "\ufffc"  # stands for a letter without a form while a text is worked on


@lru_cache(maxsize=1)
def letter_files():
    """Font files beyond those that the document's library carries itself."""
    import matplotlib

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    return tuple(
        folder / f"DejaVuSans{face}.ttf" for face in ("", "-Bold", "-Oblique", "-BoldOblique")
    )


@lru_cache(maxsize=1)
def _letters():
    """Characters that all faces of the fallback letters have."""
    maps = [_charmap(path) for path in letter_files()]
    return frozenset.intersection(*maps)


def _charmap(path):
    """Characters that a font file has a form for; none where it cannot be read."""
    from matplotlib.ft2font import FT2Font

    try:
        return frozenset(FT2Font(str(path)).get_charmap())
    except (OSError, RuntimeError):
        return frozenset()


@lru_cache(maxsize=1)
def _system_fonts():
    """Every font of this machine with its characters."""
    from matplotlib.font_manager import findSystemFonts

    return tuple((Path(path), _charmap(path)) for path in sorted(findSystemFonts()))


def fonts_for(text):
    """Fonts of this machine that hold letters which the document's own do not.

    Parameters
    ----------
    text : str
        All that the document says.

    Returns
    -------
    (tuple of Path, frozenset of int)
        The files, and the characters that the document can print with them.
    """
    missing = {ord(letter) for letter in text if ord(letter) > 0xFF} - _letters()
    files, known = [], set(_letters())
    while missing:
        path, has = max(
            _system_fonts(), key=lambda font: len(font[1] & missing), default=(None, frozenset())
        )
        if path is None or not has & missing:
            break
        files.append(path)
        known |= has
        missing -= has
    return tuple(files), frozenset(known)


def printable(text, known=None, instead=NO_LETTER):
    """The text with what no letter exists for replaced, so that the document can be made."""
    known = _letters() if known is None else known
    kept = []
    for letter in without_controls(text):
        code = ord(letter)
        kept.append(_MARK if 0xE000 <= code <= 0xF8FF or code not in known else letter)
    shown = "".join(kept)
    if instead != NO_LETTER:  # a run of such letters is one thing left out
        shown = re.sub(f"{_MARK}(?:{_MARK}| (?={_MARK}))*", _MARK, shown)
    return shown.replace(_MARK, instead)


def without_controls(text):
    """The text on one line, without characters that print nothing."""
    kept = []
    for letter in text:
        code = ord(letter)
        if letter in "\n\t\r\u2028\u2029":
            kept.append(" ")
        elif not (code < 0x20 or 0x7F <= code < 0xA0 or code in (0xAD, 0xFEFF, 0x200D, 0xFFFC)):
            kept.append(letter)
    return "".join(kept)


def breakable(word, most=18):
    """A name with places to break, so that a column of a table can hold it."""
    return " ".join(
        part if len(part) <= most else _BREAK.join(re.findall(f".{{1,{most // 2}}}", part))
        for part in word.split(" ")
    )


def each_word(contents, change):
    """Nested plain data with every text changed."""
    if isinstance(contents, str):
        return change(contents)
    if isinstance(contents, dict):
        return {key: each_word(value, change) for key, value in contents.items()}
    if isinstance(contents, list | tuple):
        return [each_word(value, change) for value in contents]
    return contents


def shorten(name, length=22):
    """A long name with its middle left out, so that both ends still tell it apart."""
    name = printable(name)
    if len(name) <= length:
        return name
    tail = (length - 1) // 2
    return f"{name[: length - 1 - tail].rstrip()}…{name[len(name) - tail :].lstrip()}"


def short_names(names, length=22):
    """Names short enough for a label and, where it can be, still told apart.

    Where they do not fit, they lose their end, their beginning or their middle,
    whichever keeps most of them distinct.
    """
    names = [printable(str(name)) for name in names]
    ways = (_without_end, _without_beginning, shorten)
    cut = [[way(name, length) for name in names] for way in ways]
    return max(cut, key=lambda labels: len(set(labels)))


def _without_end(name, length):
    return name if len(name) <= length else f"{name[: length - 1].rstrip()}…"


def _without_beginning(name, length):
    return name if len(name) <= length else f"…{name[len(name) - length + 1 :].lstrip()}"
