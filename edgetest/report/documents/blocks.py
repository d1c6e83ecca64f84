"""What a document can be made of: sections of a few kinds of block, in plain values."""

from collections.abc import Callable
from dataclasses import dataclass, field

from edgetest.report.letters import shorten

LONGEST_ALT = 8_000  # letters; a PDF takes 32,767 bytes of one text that is not drawn


@dataclass(frozen=True)
class Contents:
    """What a document says: plain words in sections of blocks, and its pictures by file name.

    A `sheet` is set close, to be one page; its `annex` begins the next. Where one page does not
    hold it, the first of its `two_pages` whose first page holds is laid out in place of `sections`:
    each is two lists of sections. What is `boxed` has narrow margins, for boxes to write in.
    """

    title: str
    subtitle: str
    maker: str
    sections: list
    pictures: dict[str, bytes | Callable[[], bytes]] = field(repr=False)
    description: str
    foot: str
    label: str | None = None
    mark: dict | None = None
    author: str = ""
    program: str = "edgetest"
    sheet: bool = False
    boxed: bool = False
    annex: list = field(default_factory=list)
    two_pages: list = field(default_factory=list, repr=False)
    beside: dict[str, bytes] = field(default_factory=dict, repr=False)


def text(words, *, lead=False):
    """A paragraph; one that leads to the next block stays on its page."""
    return {"kind": "text", "text": words, "lead": lead}


def bullets(items):
    """A list, one line of thought an item."""
    return {"kind": "list", "items": list(items)}


def facts(rows, *, narrow=False, small=False):
    """Pairs of term and words; pairs without words are left out; `narrow` for half a page.

    `small` sets them in small letters, close together: what few look up.
    """
    return {
        "kind": "facts",
        "rows": [[term, words] for term, words in rows if words],
        "narrow": narrow,
        "small": small,
    }


def table(columns, rows, *, caption=None, bold=(), close=False):
    """Rows of words under `columns` of (title, "left" or "right", "auto" or a share).

    `close` sets the rows close together.
    """
    keys = ("title", "align", "width")
    return {
        "kind": "table",
        "columns": [dict(zip(keys, column, strict=True)) for column in columns],
        "rows": [[str(word) for word in row] for row in rows],
        "caption": caption,
        "bold": list(bold),
        "close": close,
    }


def boxes(heading, asked, places, rows, *, height_mm):
    """Boxes to write in with a gloved hand, a blade and its stage before each row of them.

    Parameters
    ----------
    heading : str
        What stands at the head of every page: the roll, board or day.
    asked : sequence of list
        Lines of boxes as of a row: what is asked for once, beside the heading; none, and no
        heading, where it is empty.
    places : int
        Boxes side by side.
    rows : sequence of dict
        `stage`, `blade`, and `lines` of boxes: `words` in the corner of each and how many
        `places` it takes; those of a line add up to `places`.
    height_mm : float
        Of a box.
    """
    return {
        "kind": "boxes",
        "height_mm": height_mm,
        "heading": heading,
        "asked": list(asked),
        "places": places,
        "rows": list(rows),
    }


def figure(file, alt, caption, *, width=1.0, place="flow"):
    """A picture with its caption; `width` is a share of the text's.

    On paper its `place` is in the "flow" of the blocks; or it may "float" to the head or foot of
    the next page that has room for it, while what follows fills the page before it; or it stays
    "here", set a little smaller where the page has no room for it otherwise.
    """
    return {
        "kind": "figure",
        "file": file,
        "alt": shorten(alt, LONGEST_ALT),
        "caption": caption,
        "width": width,
        "place": place,
    }


def photographs(items):
    """Photographs two by two; each item has file, alt and caption."""
    return {"kind": "photos", "items": [figure(*item) for item in items]}


def columns(*sections, widths=None):
    """Lists of sections side by side; `widths` are shares of the page, equal if not given."""
    return {
        "kind": "columns",
        "columns": [list(column) for column in sections],
        "widths": list(widths or [1.0] * len(sections)),
    }


def signature(*lines):
    """Blanks to sign on."""
    return {"kind": "signature", "lines": list(lines)}


def answer(sentence, more=(), numbers=()):
    """The answer, the sentences that belong to it, and up to three numbers of (words, value, …)."""
    keys = ("words", "value", "interval")
    strip = [dict(zip(keys, number, strict=True)) for number in numbers]
    return {"kind": "answer", "sentence": sentence, "more": list(more), "numbers": strip}


def each_text(part, change):
    """A part of a document with every sentence changed, but for what a table holds."""
    if isinstance(part, str):
        return change(part)
    if isinstance(part, list):
        return [each_text(one, change) for one in part]
    if isinstance(part, dict):
        kept = {"kind", "file", "align", "place"}
        kept |= {"rows"} if part.get("kind") == "table" else set()
        return {key: one if key in kept else each_text(one, change) for key, one in part.items()}
    return part


def section(heading, *blocks):
    """Blocks under a heading."""
    return {"heading": heading, "blocks": list(blocks)}
