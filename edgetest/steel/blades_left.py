"""How many blades does a piece still give, those that were made of it counted, lost ones not?"""

from collections.abc import Container

from edgetest.steel.alike_trials import alike_of
from edgetest.steel.broke_alike import broke_alike, tried_as_found
from edgetest.steel.gave_out import failed_in_lot
from edgetest.steel.steel_seen import BLADE_NAME, HeatSeen, PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.tried_blades import EDGED, made_elsewhere

UNNAMED = "a blade"  # of a trial that names none


def blades_lost(seen: SteelSeen, piece: str) -> list[str]:
    """Names of the piece's blades that broke in a trial or cracked in a quench; never a coupon's.

    Each blade that broke in a trial that names none is one of its own, and so is each that cracked
    beside the one that names its heat.
    """
    heats = [h for h in seen.heats if h.piece == piece and h.cracked and _of_blade(h, seen)]
    cracked, more = [h.coupon for h in heats], sum((h.cracked or 1) - 1 for h in heats)
    broke = [one for one in seen.trials if one.piece == piece and _broke_a_blade(one)]
    named = dict.fromkeys([*cracked, *(one.heat[0] for one in broke if one.heat)])
    return [*named, *[UNNAMED] * more, *(UNNAMED for one in broke if not one.heat)]


def blades_elsewhere(seen: SteelSeen, piece: str) -> list[str]:
    """Names of the piece's blades that were made for another use, and are not lost besides.

    Each that was tried so and names no heat is one of its own.
    """
    own = [one for one in seen.trials if one.piece == piece]
    lost = blades_lost(seen, piece)
    bare = [one for one in own if not one.heat and one.made_for and not _broke_a_blade(one)]
    named = [name for name in made_elsewhere(own) if name not in lost]
    return [*named, *[UNNAMED] * len(bare)]


def blades_left(seen: SteelSeen, piece: PieceSeen) -> float | None:
    """What the piece makes without those lost or made for another use; None where nobody told."""
    if piece.makes_blades is None:
        return None
    gone = len(blades_lost(seen, piece.id)) + len(blades_elsewhere(seen, piece.id))
    return max(piece.makes_blades - gone, 0.0)


def none_left(seen: SteelSeen, piece: PieceSeen) -> bool:
    """Whether as many blades of a piece are made already as it gives, whatever became of them."""
    to_come = blades_to_come(seen, piece)
    return to_come is not None and to_come <= 0


def blades_to_come(seen: SteelSeen, piece: PieceSeen) -> float | None:
    """How many blades of a piece nobody has begun yet, of one at least; None where nobody told."""
    if piece.makes_blades is None:
        return None
    own = [one for one in seen.trials if one.piece == piece.id and one.trial in EDGED]
    quenched = [h.coupon for h in seen.heats if h.piece == piece.id and _of_blade(h, seen)]
    named = {*quenched, *(one.heat[0] for one in own if one.heat)}
    return max(piece.makes_blades, 1) - len(named) - sum(one.heat is None for one in own)


def blades_stood(seen: SteelSeen, piece: str) -> int:
    """How many blades of a piece, each named, are made and stood when they were tried last.

    None that was treated like a blade of its piece or lot that broke is counted.
    """
    last = {one.at[0]: one.stood for one in tried_as_found(seen, piece)[0] if one.at}
    held = {name for one in broke_alike(seen) for of, name in one.like if of == piece}
    return sum(stood for name, stood in last.items() if name not in held)


def blades_open(seen: SteelSeen, piece: PieceSeen, reused: Container[str] | None = None) -> float:
    """What a piece still leaves in question: neither lost, nor stood, nor of one that is settled.

    A piece is settled where it is one of those `reused`. Till these are known, it is where the
    blade tried last stood, is named, and more such stood than gave out, of it and of the other
    pieces of its lot.
    """
    left = blades_left(seen, piece) or 0.0
    to_make = max(left - blades_stood(seen, piece.id), 0.0)
    if reused is not None:
        return 0.0 if piece.id in reused else to_make
    tried, heats = tried_as_found(seen, piece.id)
    stood, failed = alike_of(tried, heats)
    failed = max(failed, len(failed_in_lot(seen, piece)))
    settled = bool(tried) and tried[-1].stood and tried[-1].at is not None and stood > failed
    return 0.0 if settled else to_make


def _of_blade(heat: HeatSeen, seen: SteelSeen):
    """Whether a heat is of a blade: named so, or as others are that were tried at an edge."""
    tried = {_stem(one.heat[0]) for one in seen.trials if one.heat and one.trial in EDGED}
    named = _is_named_blade(heat.coupon) or _stem(heat.coupon) in tried
    return heat.blade is not None or named


def _stem(name: str):
    """A name without the number behind it: "hook" of "hook2"."""
    return name.casefold().rstrip("0123456789 ")


def _broke_a_blade(trial: TrialSeen):
    """Whether a blade broke: at its work, or bent or pressed where its name says a blade."""
    named = trial.heat is not None and _is_named_blade(trial.heat[0])
    return trial.edge == "broke" and (trial.trial in EDGED or named)


def _is_named_blade(coupon: str):
    return coupon.casefold().startswith(BLADE_NAME)
