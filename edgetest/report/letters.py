"""Letters: which ones a document can print, and names cut or broken to fit a place."""

import re
from functools import lru_cache
from pathlib import Path

NO_LETTER = "□"
_BREAK = "\u200b"


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
    from matplotlib.ft2font import FT2Font

    maps = [set(FT2Font(str(path)).get_charmap()) for path in letter_files()]
    return frozenset(set.intersection(*maps))


def printable(text):
    """The text with what no letter exists for replaced, so that the document can be made."""
    kept = []
    for letter in text:
        code = ord(letter)
        if letter in "\n\t\r\u2028\u2029":
            kept.append(" ")
        elif code < 0x20 or 0x7F <= code < 0xA0 or code in (0xAD, 0xFEFF, 0x200D):
            continue
        elif 0xE000 <= code <= 0xF8FF or code not in _letters():
            kept.append(NO_LETTER)
        else:
            kept.append(letter)
    return "".join(kept)


def breakable(word, most=18):
    """A name with places to break, so that a column of a table can hold it."""
    return " ".join(
        part if len(part) <= most else _BREAK.join(re.findall(f".{{1,{most // 2}}}", part))
        for part in word.split(" ")
    )


def clean(contents):
    """Every text of nested plain data made printable."""
    if isinstance(contents, str):
        return printable(contents)
    if isinstance(contents, dict):
        return {key: clean(value) for key, value in contents.items()}
    if isinstance(contents, list | tuple):
        return [clean(value) for value in contents]
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
