"""What does a protocol ask of its pieces, in the words that are understood, and is a piece so?

The words are those of `kind` and `size` under `[medium]`; what is not understood is kept, so that
nobody takes it for held against the pieces.
"""

import re
from dataclasses import dataclass

from edgetest.chop.as_chopped import GREEN_PCT
from edgetest.chop.billet_size import lumber_mm
from edgetest.chop.species import names_a_wood, said_as, wood_group
from edgetest.chop.wood import water_of
from edgetest.chop.wood_names import WATER_WORDS
from edgetest.errors import UnusableInput
from edgetest.study.chop.piece_woods import KIND, bare_name, section_of

SIZE_SHARE = 0.05  # a piece is sawn no truer (common practice, no source)
_NUMBER = r"(\d+(?:[.,]\d+)?)"
_SIDES = re.compile(rf"{_NUMBER} *(?:mm)? *(?:by|x|×) *{_NUMBER} *mm\b", re.IGNORECASE)
_TRADE = re.compile(r"\b\d+ *[x×] *\d+\b(?! *mm)", re.IGNORECASE)
_RANGE = re.compile(rf"{_NUMBER} *(?:mm)? *(?:to|-|–) *{_NUMBER} *mm\b", re.IGNORECASE)
_THICK = re.compile(rf"{_NUMBER} *mm\b", re.IGNORECASE)
_ROUND = re.compile(r"\bround\b|\bdiameter\b", re.IGNORECASE)
_REMARK = re.compile(r"\([^)]*\)")
_ONE_SPECIES = re.compile(r"\bone species\b", re.IGNORECASE)
_CLEAR = re.compile(r"\b(?:no|without|free of) knots\b|\bclear\b", re.IGNORECASE)
_WET = [word for word, state in WATER_WORDS.items() if state == "green"]
_GREEN = re.compile(rf"\b(?:{'|'.join(_WET)})\b", re.IGNORECASE)
_DRY = re.compile(r"\b(?:seasoned|(?:air-|oven-)?(?:dry|dried))\b", re.IGNORECASE)
# Words that name a piece of wood and ask nothing of it.
_BARE = re.compile(
    r"\b(?:woods?|lumber|timber|construction|(?:board|billet|stick|pole|stud|piece)s?|square|thick"
    r"|of|in|a|an|any|the)\b",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"[,;:]|\bor\b|\band\b", re.IGNORECASE)


@dataclass(frozen=True)
class AskedPieces:
    """What a protocol asks of a piece; what is blank or empty it does not ask.

    `species` are names as written; `sides_mm` two sides, the smaller first; `thick_mm` the least
    and the greatest thickness of a round piece. `kind_unread` and `size_unread` are the words
    that are not understood.
    """

    one_species: bool = False
    clear: bool = False
    dry: bool = False
    green: bool = False
    kinds: tuple[str, ...] = ()
    species: tuple[str, ...] = ()
    sides_mm: tuple[float, ...] = ()
    round: bool = False
    thick_mm: tuple[float, ...] = ()
    kind_unread: tuple[str, ...] = ()
    size_unread: tuple[str, ...] = ()

    @property
    def of_wood(self):
        """Whether anything that is understood is asked of the wood."""
        return any((self.one_species, self.clear, self.dry, self.green, self.kinds, self.species))

    @property
    def size_words(self):
        """The size that is asked for, in words; "" where none is."""
        if self.sides_mm:
            return f"pieces of {self.sides_mm[0]:g} mm × {self.sides_mm[1]:g} mm"
        if not self.round:
            return ""
        low, high = self.thick_mm or (0, 0)
        if not high:
            return "round pieces"
        return f"round pieces of {low:g} mm{f' to {high:g} mm' if high > low else ''}"

    def sized(self, size):
        """Whether sides, mm, one of a round piece, are as asked; so are those nobody noted."""
        if not size or not self.size_words:
            return True
        if self.sides_mm:
            return len(size) == 2 and all(map(_near, size, self.sides_mm))
        if len(size) != 1:
            return False
        low, high = self.thick_mm or size * 2
        return _near(size[0], low) if low == high else low <= size[0] <= high

    def watered(self, moisture):
        """Whether the water of a piece is as asked; so is water that nobody noted."""
        if moisture is None or self.dry == self.green:
            return True
        return is_green(moisture) == self.green

    def of_species(self, name):
        """Whether a wood is one of those asked for; so is one that nobody noted."""
        if not name or not self.species:
            return True
        mine = {_plain(name), _plain(wood_group(_bare(name)))}
        return any(_plain(asked) in mine for asked in self.species)


def asked_pieces(protocol, own=()):
    """What a protocol of chops asks of its pieces.

    Parameters
    ----------
    protocol : Protocol
    own : sequence of Species
        The maker's own woods.

    Returns
    -------
    AskedPieces
    """
    return AskedPieces(**_of_kind(protocol.medium.kind, own), **_of_size(protocol.medium.size))


def sides_mm(row):
    """The sides of a piece as noted or by its trade size, mm, one of a round one; else ()."""
    if row.diameter_mm is not None:
        return (row.diameter_mm,)
    if row.width_mm is not None and row.thickness_mm is not None:
        return tuple(sorted((row.width_mm, row.thickness_mm)))
    try:
        section = section_of(row) if row.nominal else None
    except UnusableInput:
        return ()  # told as a fault of the row
    return () if section is None else tuple(sorted((section.width_mm, section.thickness_mm)))


def is_green(moisture):
    """Whether wood is green, by a word or by its percent; not where nobody noted it."""
    return moisture is not None and water_of(moisture).pct >= GREEN_PCT


def _near(side, due):
    return abs(side - due) <= SIZE_SHARE * due


def _plain(name):
    return said_as(_bare(name)).casefold()


def _bare(name):
    """A wood without the kind that is written beside it."""
    kind = KIND.search(name.lower())
    return bare_name(name, kind[0]) if kind else name


def _of_kind(text, own):
    """What `kind` asks for, by the names of `AskedPieces`."""
    found = {}
    for key, words in (("one_species", _ONE_SPECIES), ("clear", _CLEAR), ("green", _GREEN),
                       ("dry", _DRY)):  # fmt: skip
        found[key] = bool(words.search(text))
        text = words.sub(" ", text)
    kinds, species, unread = [], [], []
    for phrase in _phrases(text):
        kind = KIND.search(phrase.lower())
        bare = " ".join(_BARE.sub(" ", bare_name(phrase, kind[0])).split()) if kind else phrase
        if kind and bare.lower() in ("", kind[0]):
            kinds.append(kind[0])
        elif names_a_wood(bare, own) or "(" in phrase:
            species.append(bare)
        else:
            kinds += [kind[0]] if kind else []
            unread.append(bare)
    return {**found, "kinds": tuple(dict.fromkeys(kinds)), "species": tuple(species),
            "kind_unread": tuple(unread)}  # fmt: skip


def _of_size(text):
    """What `size` asks for, by the names of `AskedPieces`; a remark in brackets asks nothing."""
    text, found = _REMARK.sub(" ", text), {}
    told, trade = _SIDES.search(text), _TRADE.search(text)
    if told:
        found["sides_mm"] = _sorted_mm(told)
        text = _TRADE.sub(" ", _without(text, told))  # the trade's name of the same sides
    elif trade and (sides := _trade_mm(trade[0])):
        found["sides_mm"], text = sides, _without(text, trade)
    elif _ROUND.search(text):
        found["round"], text = True, _ROUND.sub(" ", text)
        if told := _RANGE.search(text) or _THICK.search(text):
            ends = _sorted_mm(told)
            found["thick_mm"], text = (ends[0], ends[-1]), _without(text, told)
    return {**found, "size_unread": tuple(_phrases(text))}


def _without(text, told):
    return f"{text[: told.start()]} {text[told.end() :]}"


def _sorted_mm(told):
    return tuple(sorted(float(number.replace(",", ".")) for number in told.groups()))


def _trade_mm(nominal):
    try:
        return tuple(sorted(lumber_mm(nominal)))
    except UnusableInput:
        return ()


def _phrases(text):
    """What is left of a text between its commas, without the words that ask nothing."""
    parts = (" ".join(_BARE.sub(" ", part).split()).strip(" .") for part in _BETWEEN.split(text))
    return [part for part in parts if part]
