"""Which blades were treated like one of their piece or lot that broke, and what is taken now?"""

from dataclasses import dataclass

from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.heats_once import merged
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.tried_blades import TriedBlade, spoilt_heats, temper_of, treated, tried_blades

STEP_C = 15.0  # from one temper to the next; common practice


@dataclass(frozen=True)
class BrokeAlike:
    """A blade that broke, and those treated alike: what broke it may break the next of them."""

    piece: str
    blade: str
    temper_c: float | None
    like: tuple[tuple[str, str], ...]  # piece and name of each that was treated alike
    stood_c: float | None  # hotter temper at which a later blade of its piece stood, °C

    @property
    def take_c(self) -> float | None:
        """The temper to take instead, °C; None where nobody told how it was tempered."""
        hotter = None if self.temper_c is None else self.temper_c + STEP_C
        return hotter if self.stood_c is None else self.stood_c

    def instead(self) -> str:
        """That its temper is taken for no blade, and which is, as a maker reads it."""
        broke = f"But {self.blade} of {self.piece}, quenched and tempered so, broke"
        said = f"{broke}: take that temper for no blade"
        if self.stood_c is not None:
            stood = degrees_told(self.stood_c)
            return f"{said}. A later blade of {self.piece} stood at {stood}: take it."
        return f"{said}, but one hotter by a step of about {STEP_C:.0f} °C."


def broke_alike(seen: SteelSeen) -> list[BrokeAlike]:
    """Every blade that broke and has sisters of its treatment, each of these named once.

    A blade counts by the treatment that it had when it was tried last; common practice, no
    source. Of the same piece all that was told of it is alike; of another piece of the lot the
    quench, the heat and the temper, told of both, whatever was done before: no cycle before the
    quench is known to undo what broke the one. One that came coarse or soft from its own fire
    says nothing of the lot.

    Parameters
    ----------
    seen : SteelSeen
    """
    lots = {piece.id: piece.lot for piece in seen.pieces}
    tried = {name: tried_as_found(seen, name) for name in lots}
    last = dict(at for name, of_piece in tried.items() for at in _treated_last(name, *of_piece))
    broken = [(name, one) for name, of_piece in tried.items() for one in _broken(of_piece[0])]
    told = {(name, one.at[0]) for name, one in broken if one.at}
    found = []
    for name, one in broken:
        near = _near(lots, name, of_its_heat=one.at in spoilt_heats(tried[name][1]))
        free = {at: how for at, how in last.items() if at[0] in near and at not in told}
        of_one = _broke_like(name, one, tried[name], free)
        if of_one is not None:
            told.update(of_one.like)
            found.append(of_one)
    return found


def _broke_like(name, one, of_piece, free) -> BrokeAlike | None:
    """A blade that broke with those of the free ones that were treated alike; None for none."""
    how = treated(one, *of_piece)
    like = tuple(at for at, other in free.items() if _alike(other, how, at[0] == name))
    if not like:
        return None
    return BrokeAlike(name, one.at[0], how and how[-1], like, _stood_c(one, *of_piece))


def broke_like(seen: SteelSeen, piece: str | None, blade: str | None = None) -> BrokeAlike | None:
    """The blade that broke and was treated like one of a piece's; None for none."""
    return next(
        (one for one in broke_alike(seen)
         if any(of == piece and blade in (None, name) for of, name in one.like)), None,
    )  # fmt: skip


def as_it_stood(seen: SteelSeen, piece: str, blade: str | None) -> str:
    """How one more blade is treated: as the one that stood, unless one treated so broke."""
    broke = broke_like(seen, piece, blade) if blade is not None else None
    if broke is None:
        return "treated as the one that stood"
    if broke.take_c is None:
        return "tempered hotter than the one that stood"
    return f"treated as the one that stood, but tempered at {broke.take_c:.0f} °C"


def past_break_c(seen: SteelSeen, piece: str | None, take_c: float | None) -> float | None:
    """The temper to take, °C: the advised one, unless a blade that was tempered so broke."""
    broke = [one for one in broke_alike(seen) if any(of == piece for of, _ in one.like)]
    for one in sorted(broke, key=lambda each: each.temper_c or 0.0):
        if take_c is not None and one.temper_c is not None and take_c <= one.temper_c:
            take_c = one.take_c
    return take_c


def tried_as_found(seen: SteelSeen, piece: str) -> tuple[list[TriedBlade], list[HeatSeen]]:
    """Blades of a piece that were tried, as found and not packed, and its heats."""
    heats = merged(h for h in seen.heats if h.piece == piece and not h.carburised)
    trials = [t for t in seen.trials if t.piece == piece and not t.carburised]
    return tried_blades(trials, heats), heats


def _treated_last(name, blades, heats):
    """How each named blade of a piece was treated when it was tried, the last way last."""
    return [((name, one.at[0]), treated(one, blades, heats)) for one in blades if one.at]


def _near(lots, name, *, of_its_heat):
    """The pieces of which a break tells: its own, and its lot unless its own fire spoilt it."""
    if of_its_heat or lots[name] is None:
        return {name}
    return {of for of, lot in lots.items() if lot == lots[name]}


def _broken(blades):
    return [one for one in blades if one.at and one.gave_out == "broke"]


def _alike(one, other, same_piece):
    """Whether two treatments are one; of two pieces in quench, heat and temper, each told."""
    if one is None or other is None or same_piece:
        return one is not None and one == other
    medium, heat_c, colour, _, temper_c = one
    told = medium is not None and temper_c is not None and (heat_c or colour) is not None
    return told and (medium, heat_c, colour, temper_c) == (*other[:3], other[-1])


def _stood_c(broke, blades, heats) -> float | None:
    """The hotter temper at which a later blade of the piece stood, °C; None for none."""
    had = temper_of(broke, blades, heats)
    since = blades[blades.index(broke) + 1 :]
    stood = [temper_of(one, blades, heats) for one in since if one.stood]
    if had is None or had.temperature_c is None:
        return None
    hotter = [t.temperature_c for t in stood if t is not None and t.temperature_c is not None]
    return next((at for at in reversed(hotter) if at > had.temperature_c), None)
