"""What would a piece take that was not chopped? The wish in words, and the strokes reckoned."""

import re
from collections import defaultdict
from dataclasses import replace
from fractions import Fraction
from math import log
from types import SimpleNamespace

from edgetest.chop.as_chopped import GREEN_PCT, SAME_SIZE, Piece, alike
from edgetest.chop.notch import PieceSection, mean_section
from edgetest.chop.reckoned import OtherPiece, Reckoned, reckon
from edgetest.chop.wood import SAME_STATE, STATES, water_of
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ORIENTATIONS
from edgetest.store.document_wishes import settings_of
from edgetest.store.records import STUDY_FILE
from edgetest.study.chop.piece_woods import KIND, bare_name, wood_name_fault
from edgetest.study.chop.wished_wood import WISH, wished_wood, wood_name
from edgetest.study.words import listed

_NUMBER = r"\d+(?:\.\d+)?"
_SIZE = rf"(?:\d+\s+)?\d+/[1-9]\d*|{_NUMBER}"
_WATER = "|".join((*STATES, *SAME_STATE))
_OF_WOOD = rf"(?:(?:(?P<water>{_WATER})|(?P<pct>{_NUMBER})\s*%(?: water)?)\s+)?(?P<wood>.*?)\s*"
_NO_SIZE = re.compile(f"{_OF_WOOD}$", re.IGNORECASE)
_WISH = re.compile(
    rf"{_OF_WOOD}(?<![\d.])(?P<first>{_SIZE})(?:\s*[x×]\s*(?P<second>{_SIZE}))?"
    rf"\s*(?P<unit>mm|cm|in)?\s*(?P<lies>{'|'.join(ORIENTATIONS)})?\s*$",
    re.IGNORECASE,
)
HEADLINE = f"{STUDY_FILE}, document, headline_wood"
FEWEST_OWN = 2  # pieces of a wood, of which is said what they alone say. Our choice
LEAST_MM = 10.0  # a side below it is a trade size in inches, or a slip
MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def with_reckoned(result, wishes):
    """The result with strokes reckoned for other pieces.

    Parameters
    ----------
    result : ChopResult
    wishes : sequence of str
        Each a wood and a size: "English oak 90x60 flat", "hazel 45" (round, its diameter).

    Returns
    -------
    ChopResult

    Raises
    ------
    UnusableInput
        If no wish can be read, their woods are not known, or nothing was severed; where another
        wish can be answered, one that cannot is a doubt.
    """
    found: list[Reckoned] = []
    doubts: list[Doubt] = []
    faults: list[tuple[str, UnusableInput]] = []
    for wish in wishes:
        try:
            wanted, taken = _wanted(result, wish)
            more, about = _reckoned(result, wanted)
        except UnusableInput as fault:
            faults.append((wish, fault))
            continue
        chopped = {one.where.blade: one for one in _chopped(result.pieces, wanted)}
        kept = [one for one in more if one.blade not in chopped]
        found += kept
        doubts += [*taken, *chopped.values()]
        doubts += [one for one in about if kept or one.where.blade not in (None, *chopped)]
    if faults and len(faults) == len(wishes):
        raise faults[0][1]
    doubts += [
        doubt("wish_not_reckoned", wish=wish, what=fault.what, mend=_sentence(fault.mend),
              where=Where(value=wish))
        for wish, fault in faults
    ]  # fmt: skip
    told = tuple(dict.fromkeys([*result.doubts, *doubts]))
    return replace(result, reckoned=(*result.reckoned, *found), doubts=told)


def asked_of_wishes(study, rows):
    """Questions about wishes of a study that cannot be read, whatever was chopped.

    Parameters
    ----------
    study : Study or None
    rows : sequence of ChopRow
        A wood that they spell with its kind, "pine (softwood)", is known by its bare name.

    Yields
    ------
    UnusableInput
        Told, not raised: the other figures stand without it.
    """
    spelt = {bare_name(row.species, kind[0]).casefold() for row in rows
             if (kind := KIND.search(row.species.lower()))}  # fmt: skip
    for n, wish in enumerate(study.chop_to if study else (), 1):
        place, mend = f"{STUDY_FILE}, chop_to {n}", "until then it is not reckoned"
        yield from _asked_of(wish, _match, study, spelt, place, mend)
    headline = settings_of(study).headline_wood if study else ""
    if headline:
        yield from _asked_of(headline, _match_any, study, spelt, HEADLINE,
                             "until then no sheet is written")  # fmt: skip


def _asked_of(wish, match_of, study, spelt, place, until):
    """A question about words that name no piece, or no known wood."""
    try:
        match = match_of(wish)
        if "first" in match.groupdict():
            _section(match, wish)
        known = not match["wood"] or match["wood"].casefold() in spelt
        if not known and (fault := wood_name_fault(match["wood"], study)):
            raise fault
    except UnusableInput as fault:
        yield UnusableInput(fault.what, place, f"{fault.mend}; {until}")


def rows_like(result, words):
    """Rows of the chopped pieces that words name, a wood, a size or both; how far each is off.

    Parameters
    ----------
    result : ChopResult
    words : str
        "hazel", "green hazel", "hazel 47", "89x38"; which way up counts where it is written.

    Returns
    -------
    dict of int to float
        Of each row how far its size is off, as a logarithm of areas, 0.0 where none is written;
        empty where no such piece was chopped.

    Raises
    ------
    UnusableInput
        If the wood is not known or the size cannot be read.
    """
    match = _match_any(words)
    section = _section(match, words) if "first" in match.groupdict() else None
    wood = wood_name(result, match["wood"]) if match["wood"] else None
    water = water_of(float(match["pct"]) if match["pct"] else match["water"]).pct
    told = match["pct"] or match["water"]
    found = {}
    for one in result.pieces:
        own, asked = one.piece.section, section
        if section is not None and not section.orientation:
            asked = replace(section, orientation=own.orientation)
        wanted = SimpleNamespace(wood=wood, moisture_pct=water if told else None, section=asked)
        if _such(one.piece, wanted):
            found[one.row] = abs(log(own.area_cm2 / asked.area_cm2)) if asked else 0.0
    return found


def _chopped(pieces, wanted):
    """A doubt for each blade that chopped such a piece itself: what was counted stands.

    A size between two that the table holds was not chopped, nor one that is near some pieces of
    a row and too far from others: the row is not of that size, whichever blade's it is.
    """
    own = [each.piece for each in pieces]
    sizes: dict[str, list[list[Piece]]] = defaultdict(list)
    for cell in alike(own):
        like = [own[place] for place in cell if _such(own[place], wanted)]
        if like and len(like) < len(cell):
            return
        if like:
            sizes[like[0].blade].append(like)
    if any(len(found) > 1 for found in sizes.values()):
        return
    for blade, (like,) in sizes.items():
        piece = ", ".join(filter(None, (wanted.wood, wanted.section.summary())))
        size = mean_section([one.section for one in like]).size_words()
        if size != wanted.section.size_words():
            piece += f" (one size with {size}, that was chopped)"
        took = listed(str(one.shown) for one in like)
        yield doubt("was_chopped", piece=piece, took=took, where=Where(blade=blade))


def _such(piece, wanted):
    """Whether a chopped piece is of the wood, water and size that are wanted."""
    wood = wanted.wood in (None, piece.wood)
    dry = wanted.moisture_pct is None or (wanted.moisture_pct >= GREEN_PCT) == piece.green
    size = wanted.section is None or piece.section.like(wanted.section, SAME_SIZE)
    return wood and dry and size


def _of_wood(result, wanted):
    """The pieces of the wanted wood, as green or as dry."""
    return [one for one in result.pieces if one.wood and wanted.wood is not None
            and _such(one.piece, replace(wanted, section=None))]  # fmt: skip


def _resting(result, wanted):
    """The pieces that strokes are reckoned from: of the wanted wood alone where woods disagree.

    There the tools' order in other woods says nothing of this one, which is doubted where the
    wanted wood has no pieces of every tool.
    """
    counts = result.report.counts
    if counts is None or not any(one.apart for one in counts.by_wood):
        return result.pieces, ()
    own = _of_wood(result, wanted)
    all_tools = {one.blade for one in own} == {one.blade for one in result.pieces}
    if all_tools:
        return own, ()
    name = wanted.wood or "wood that is not named"
    return result.pieces, (doubt("reckoned_over_woods", wood=name, where=Where(value=name)),)


def _reckoned(result, wanted):
    """Strokes for one piece, and the doubts about them."""
    pieces, over_woods = _resting(result, wanted)
    found, doubts = _from(pieces, wanted, result.report.level)
    own = _of_wood(result, wanted)
    if found and FEWEST_OWN <= len(own) < len(pieces):
        alone = {one.blade: one for one in _from(own, wanted, result.report.level)[0]}
        found = tuple(_beside_own(one, alone.get(one.blade)) for one in found)
    return found, (*doubts, *(over_woods if len(found) > 1 else ()))


def _from(pieces, wanted, level):
    """Strokes of every blade for one piece, from these pieces, and the doubts about them."""
    hardness = [one.wood.side_hardness_n.value if one.wood else None for one in pieces]
    return reckon([one.piece for one in pieces], hardness, wanted, level=level)


def _beside_own(one, alone):
    """A figure, with what the pieces of its own wood alone say."""
    if alone is None or alone.pieces < FEWEST_OWN:
        return one
    return replace(one, own_wood=alone.strokes, own_wood_pieces=alone.pieces)


def _sentence(words):
    return words[:1].upper() + words[1:]


def _match(wish):
    """The words of a wish by their names."""
    match = _WISH.match(wish.strip())
    mend = 'write a wood and a size in mm, "English oak 90x60 flat", or "hazel 45" for a round one'
    if match is None or _size(match["first"]) == 0 or _size(match["second"] or "1") == 0:
        raise UnusableInput(f'"{wish}" names no piece', WISH, mend)
    return match


def _match_any(words):
    """The words of a wood, or of a piece, by their names; only of a piece there is a size."""
    return _match(words) if _WISH.match(words.strip()) else _NO_SIZE.match(words.strip())


def _wanted(result, wish):
    """The piece that a wish names, and the doubt where its wood's name is a loose one."""
    match = _match(wish)
    if not result.pieces:
        raise UnusableInput("nothing was severed", WISH, "log severed pieces first")
    water = float(match["pct"]) if match["pct"] else match["water"]
    known, section = wished_wood(result, match["wood"], water), _section(match, wish)
    if known is None:
        return OtherPiece(section), ()
    wood, hardness = known.wood, known.wood.side_hardness_n.value
    piece = OtherPiece(
        section, wood.name, hardness, wood.hardness_sd_log, wood.moisture_pct, known.water_from
    )
    return piece, known.taken


def _size(words):
    """A number as a rule reads it: 38, 3.5, 1 1/2."""
    return float(sum(map(Fraction, words.split())))


def _section(match, wish):
    """The section of a wish."""
    scale = MM[(match["unit"] or "mm").lower()]
    sides = [_size(match[side]) * scale for side in ("first", "second") if match[side]]
    if min(sides) < LEAST_MM:
        what = f'"{wish}" is {min(sides):g} mm thin'
        mend = (
            'a size without a unit is in mm, lumber by its real one: "89x38"; write in behind one'
            ' in inches: "3.5x1.5 in"'
        )
        raise UnusableInput(what, WISH, mend)
    if len(sides) == 1:
        return PieceSection(diameter_mm=sides[0])
    return PieceSection(sides[0], sides[1], orientation=(match["lies"] or "").lower())
