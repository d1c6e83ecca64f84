"""Is a piece unlike those it was bought with, though no coupon of it says so, or none any more?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.alike_heats import apart_though_alike, as_hard_since
from edgetest.steel.contradictions import FEW_SPARKS, MANY_SPARKS
from edgetest.steel.parted_lots import named_after_one
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.evidence_words import heat_name
from edgetest.study.words import listed

NEXT_GRADE = ("between", "more_than_low")  # one grade above like_low, as far as one steel shows
# Streams that hardly any steel throws beside a bright and forked one; common practice, no source.
SHORT, FORKED = ("short_red", "almost_none"), "bright_forked"
SAID = {
    "fewer_than_low": "throws fewer sparks than the known low steel",
    "like_low": "sparks like the known low steel",
    "like_high": "like the known high one",
    "more_than_high": "more than the known high one",
}
STREAM_SAID = {"short_red": "a short red stream", "almost_none": "almost no stream"}


def unlike_their_lot(seen: SteelSeen) -> Iterator[Doubt]:
    """A doubt for each piece whose sparks, stream or coupon part it from those bought with it.

    Where its coupon and one of a sister were read, they tell more than the sparks did.
    """
    for whole in _lots(seen).values():
        yield from _by_sparks(whole, seen)
        yield from _by_stream(whole, seen)
    yield from _parted(seen)


def _lots(seen) -> dict[str, list[PieceSeen]]:
    """The pieces of each lot."""
    lots: dict[str, list[PieceSeen]] = {}
    for piece in seen.pieces:
        if piece.lot:
            lots.setdefault(piece.lot, []).append(piece)
    return lots


def _by_sparks(whole, seen) -> Iterator[Doubt]:
    few = [one for one in whole if one.sparks in FEW_SPARKS]
    many = [one for one in whole if one.sparks in MANY_SPARKS]
    read, names = _read(seen) & {one.id for one in whole}, [one.id for one in many]
    if few and not many:
        yield from _one_apart(whole, few, read)
    order = 1 if len(few) <= len(many) else -1
    told = read if len(read) > 1 else set()
    for one in (each for each in few if many and each.id not in told):
        yield _far_apart(one, many, _quenched_first((one.id, names[0])[::order], read))


def _far_apart(one, many, first) -> Doubt:
    """The doubt of a piece that sparks as the low steel beside some that spark as the high one."""
    names = [other.id for other in many]
    how = " or ".join(dict.fromkeys(SAID[str(other.sparks)] for other in many))
    said = f"{listed(names)} {'sparks' if len(names) == 1 else 'spark'} {how}"
    at = Where(STUDY_FILE, blade=f"piece {one.id}")
    return doubt(
        "sparks_apart", where=at, piece=one.id, how=SAID[str(one.sparks)], lot=one.lot,
        others=said, first=first,
    )  # fmt: skip


def _by_stream(whole, seen) -> Iterator[Doubt]:
    """A doubt for those with a short red stream or hardly any, beside some with a forked one.

    Not of those that their bursts part already, nor once coupons of both kinds were read.
    """
    forked, short = [one.id for one in whole if one.stream == FORKED], _short_streams(whole)
    names, read = [one.id for one in short], _read(seen)
    if not (names and forked) or (read.intersection(names) and read.intersection(forked)):
        return
    order = 1 if len(names) <= len(forked) else -1
    streams = " or ".join(dict.fromkeys(STREAM_SAID[str(one.stream)] for one in short))
    yield doubt(
        "streams_apart", where=Where(STUDY_FILE, blade=f"piece {names[0]}"), lot=whole[0].lot,
        short=f"{listed(names)} {'throws' if len(names) == 1 else 'throw'} {streams}",
        others=listed(forked), first=_quenched_first((names[0], forked[0])[::order], read),
    )  # fmt: skip


def _short_streams(whole):
    """Those with a short red stream or hardly any, which their bursts do not part from many."""
    parted = FEW_SPARKS if any(one.sparks in MANY_SPARKS for one in whole) else ()
    return [one for one in whole if one.stream in SHORT and one.sparks not in parted]


def _quenched_first(names, read) -> str:
    """Of which piece a coupon is asked for first: of one that was not read yet."""
    return next((name for name in names if name not in read), names[0])


def _one_apart(whole, few, read) -> Iterator[Doubt]:
    """A doubt for sparks like the low steel beside some that are but one grade more."""
    few, more = [one.id for one in few], [one.id for one in whole if one.sparks in NEXT_GRADE]
    if more and not (read.intersection(few) and read.intersection(more)):
        spark = "sparks" if len(few) == 1 else "spark"
        yield doubt(
            "sparks_one_apart", where=Where(STUDY_FILE, blade=f"piece {few[0]}"),
            few=listed(few), lot=whole[0].lot, others=listed(more),
            how=f"{spark} like the known low steel or less",
        )  # fmt: skip


def _read(seen) -> set[str]:
    """Pieces of which a coupon was quenched and read, as they are."""
    return {heat.piece for heat in seen.heats if heat.hardness and not heat.carburised}


def _parted(seen) -> Iterator[Doubt]:
    """A doubt for each piece parted from a lot of such parts that came out unlike one of them.

    A softer one that was hardened again since and came out as hard was another heat, not steel.
    """
    pieces, lots = {one.id: one for one in seen.pieces}, _lots(seen)
    told: set[tuple[str, str]] = set()
    for one in (heat for heat in seen.heats if heat.piece in pieces):
        odd = pieces[one.piece]
        for other in (heat for heat in seen.heats if heat.piece in pieces):
            lot = pieces[other.piece].lot
            if not _like_parts(odd, pieces[other.piece]) or (odd.id, lot) in told:
                continue
            if not (_split_off(lots[odd.lot]) and _left_whole(lots[lot])):
                continue
            if ends := _ends(one, other, seen):
                told.add((odd.id, lot))
                yield _of_the_parted(one, ends, other, lots[lot], seen)


def _split_off(lot) -> bool:
    """Whether a lot was parted from another: one piece alone, or all under the name of one.

    So their cure has them written down: a further odd one takes the lot of the first.
    """
    return len(lot) == 1 or named_after_one(lot)


def _left_whole(lot) -> bool:
    """Whether a lot of several may be what an odd piece was parted from."""
    return len(lot) > 1 and not _split_off(lot)


def _ends(one, other, seen) -> str:
    """Whether a heat came out softer or harder than another; "" where it was made good since."""
    for hard, soft in apart_though_alike(one, other):
        if not as_hard_since(soft, hard, seen.heats):
            return "harder" if hard is one else "softer"
    return ""


def _like_parts(one: PieceSeen, other: PieceSeen) -> bool:
    """Whether two pieces are one kind of part, of two lots."""
    alike = one.origin == other.origin and one.origin != "unknown"
    return alike and None not in (one.lot, other.lot) and one.lot != other.lot


def _of_the_parted(one, ends, held, whole, seen) -> Doubt:
    bare = [piece.id for piece in whole if piece.id not in _read(seen)]
    return doubt(
        "parted_from_lot", where=Where(STUDY_FILE, blade=f"piece {one.piece}"), piece=one.piece,
        of=heat_name(one, several=False), ends=ends, held=held.piece, lot=whole[0].lot,
        other=heat_name(held, several=False),
        left=f" Nobody has read a coupon of {listed(bare)} of that lot yet." if bare else "",
    )  # fmt: skip
