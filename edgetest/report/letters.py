"""Letters: which ones a document can print, and names cut or broken to fit a place."""

import re
from functools import lru_cache
from pathlib import Path

LEFT_OUT = "(…)"  # in a document's text, whose foot says so
# Letters in a row without a form that are written by their numbers, as names of people, places
# and heat treatments are; what is longer is prose, which nobody reads in numbers.
MOST_NUMBERED = 12
_BREAK = "\u200b"
_NO_FORM = "\ufffc"  # stands for a letter without a form while a text is worked on
_RUN = re.compile(f"{_NO_FORM}(?:{_NO_FORM}|[ {_BREAK}](?=[ {_BREAK}]*{_NO_FORM}))*")
_BOXES_ALONE = ("lastresort", "adobeblank")  # files whose forms are all empty or the same box


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
    """Characters that a font file has a form for; none where it cannot be read or drawn."""
    from matplotlib.ft2font import FT2Font

    if Path(path).stem.lower().replace("-", "").startswith(_BOXES_ALONE):
        return frozenset()
    try:
        font = FT2Font(str(path))
        return frozenset(font.get_charmap()) if font.scalable else frozenset()
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


def printable(text, known=None):
    """The text with what no letter exists for written by number, so that it can be set at all.

    A few such letters in a row become their numbers in the Unicode Standard, which still tell
    one name from another: 刀 is ``[5200]``. More of them become `LEFT_OUT`.

    Parameters
    ----------
    text : str
    known : set of int, optional
        Characters that can be set; those of the document's own letters if not given.
    """
    known = _letters() if known is None else known
    text = without_controls(text)
    marked = "".join(letter if _has_form(letter, known) else _NO_FORM for letter in text)
    return _RUN.sub(lambda run: _numbered(text[run.start() : run.end()]), marked)


def _has_form(letter, known):
    code = ord(letter)
    return not 0xE000 <= code <= 0xF8FF and (code in known or letter == _BREAK)


def _numbered(run):
    """Letters in a row by their numbers."""
    words = run.replace(_BREAK, "").split()
    if sum(map(len, words)) > MOST_NUMBERED:
        return LEFT_OUT
    return f"[{' '.join('.'.join(f'{ord(one):04X}' for one in word) for word in words)}]"


def words_without_form(text, known):
    """The words of a text that hold a letter which cannot be set, as they were typed."""
    words = without_controls(text).replace(_BREAK, "").split()
    return [
        word.strip("().,:;“”")
        for word in words
        if not all(_has_form(letter, known) for letter in word)
    ]


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
    name = without_controls(name)
    if len(name) <= length:
        return name
    tail = (length - 1) // 2
    return f"{name[: length - 1 - tail].rstrip()}…{name[len(name) - tail :].lstrip()}"


def short_names(names, length=22):
    """Names short enough for a label and, where it can be, still told apart.

    Where they do not fit, they lose their end, their beginning or their middle,
    whichever keeps most of them distinct.
    """
    names = [without_controls(str(name)) for name in names]
    ways = (_without_end, _without_beginning, shorten)
    cut = [[way(name, length) for name in names] for way in ways]
    return max(cut, key=lambda labels: len(set(labels)))


def _without_end(name, length):
    return name if len(name) <= length else f"{name[: length - 1].rstrip()}…"


def _without_beginning(name, length):
    return name if len(name) <= length else f"…{name[len(name) - length + 1 :].lstrip()}"
