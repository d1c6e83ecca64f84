"""What mends each contradiction of the physics of steel, and is left to do?"""

from collections.abc import Callable, Iterable, Sequence
from shlex import quote

from edgetest.steel.alike_heats import repeated, told_alike
from edgetest.steel.bare_heats import typed_bare
from edgetest.steel.instrument_clashes import read_apart
from edgetest.steel.odd_one import (
    odd_by_sparks,
    odd_is_harder,
    odd_made_again,
    odd_of_several,
    of_its_lot,
)
from edgetest.steel.parted_lots import OWN_LOT, joining_alike
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.surely import (
    all_harder,
    comparable,
    is_hard,
    is_soft,
    of_place,
    true_readings,
)

COATED = ("painted", "galvanised", "plated", "hard_chrome", "unknown")
COATED_CURE = (
    "Neither grind nor heat it yet: have the coating known and taken off, then read again."
)
ALL_DONE = (
    "What the shop can do about it was done: ask a laboratory, or leave out of the count what you "
    "trust least, as in `{line}`."
)
ONCE_MORE = (
    "It was quenched once more, and they still differ. One more coupon, quenched as those that "
    "came out alike, tells which stands alone: leave that out of the count, as in `{line}`. "
    "Where none stands alone ask a laboratory."
)
# What a contradiction rests on and may be left out, where it is no hardness: table and key.
RESTS_ON = {
    "few_sparks_hard": ("pieces", "sparks"),
    "many_sparks_soft": ("pieces", "sparks"),
    "coarse_and_hard": ("heats", "grain"),
    "cracked": ("heats", "cracked"),
    "cracked_alone": ("heats", "cracked"),
}
KEPT_ASIDE = "exclude=WHY-LEFT-OUT"  # the cell that leaves readings out and keeps them in their row
OLD_CRACK = (
    "Where an old crack of the piece ran on, the quench has no part in it: write that into note, "
    "and take the crack out of the count, as in `{line}`. A piece that you give up is set aside by "
    "makes_blades=0."
)
MANY_CYCLES = 3  # reducing heats that make a coarse grain fine; common practice
AGAIN_HEATS = 3  # heats of a piece from which the repeat was made; our choice

Done = Callable[[SteelSeen, str, Sequence[HeatSeen]], bool]


def _below(seen, piece, about):
    """Whether everything that was read of it was read below the skin too."""
    found = [one.hardness for one in seen.pieces if one.id == piece] if not about else []
    found += [heat.hardness for heat in about]
    read = [readings for readings in found if readings]
    return bool(read) and all(of_place(readings, "below") for readings in read)


def _below_tempered(seen, piece, about):
    """The same of the readings after the temper."""
    tempers = [temper for heat in about for temper in heat.tempers if temper.hardness]
    read = all(of_place(temper.hardness, "below") for temper in tempers)
    return bool(tempers) and read and _below(seen, piece, about)


def drawn_below(heats: Iterable[HeatSeen]) -> bool:
    """Whether the last reading after a temper of such heats was made below the skin."""
    read = [temper.hardness for heat in heats for temper in heat.tempers if temper.hardness]
    return bool(of_place(read[-1], "below"))


def read_again_below(heats: Iterable[HeatSeen]) -> bool:
    """Whether the last temper of such heats was read below the skin a second time, and agreed."""
    read = [temper.hardness for heat in heats for temper in heat.tempers if temper.hardness]
    return len(of_place(read[-1], "below")) > 1


def apart_after_last(heats: Iterable[HeatSeen]) -> bool:
    """Whether the readings after the last temper of such heats disagree, none made below it."""
    read = [temper.hardness for heat in heats for temper in heat.tempers if temper.hardness]
    return bool(read) and read_apart(read[-1]) and not of_place(read[-1], "below")


def no_unit_typed(heats: Iterable[HeatSeen]) -> bool:
    """Whether a temper of such heats was typed as a number alone, without °C or °F."""
    return any(typed_bare(temper.temperature_c) for heat in heats for temper in heat.tempers)


def _drawn_below(seen, piece, about):
    return drawn_below(about)


def _own(seen, piece):
    return [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]


def _in_air(seen, piece, about):
    return any(heat.medium == "air" and heat.hardness for heat in _own(seen, piece))


def _in_air_only(seen, piece, about):
    return all(heat.medium == "air" for heat in about if heat.cracked)


def _not_in_oil(seen, piece, about):
    return not any(heat.medium == "oil" for heat in about if heat.cracked)


def _later(seen, piece, about):
    """Heats of the piece that were written down after the last of those it is about."""
    own = _own(seen, piece)
    last = max((own.index(heat) for heat in about if heat in own), default=len(own))
    return own[last + 1 :]


def _again(seen, piece, about):
    """Whether a further heat was made since, or so many that a repeat tells no more."""
    return bool(_later(seen, piece, about)) or len(_own(seen, piece)) >= AGAIN_HEATS


def made_again_alike(seen, piece, about):
    """Whether the softer piece had a further heat since, or one so before, no harder, and read.

    Of two heats told alike each is the other's repeat, whichever was written down first.
    """
    soft, hard = about[0], about[-1]
    before = (
        one for one in _own(seen, piece)
        if one != soft and told_alike(one, soft)
        and all_harder(*comparable(hard.hardness, one.hardness))
    )  # fmt: skip
    return any(heat.hardness for heat in (*_later(seen, piece, about), *before))


def _again_or_cracked(seen, piece, about):
    """The same; a heat that cracked was hot enough, and is not to be hotter."""
    return _again(seen, piece, about) or any(heat.cracked for heat in about)


def _hard_or_below(seen, piece, about):
    """Whether nothing that cracked was read soft on the skin alone."""
    loose = [heat for heat in about if heat.hardness and not of_place(heat.hardness, "below")]
    return not any(all(map(is_soft, heat.hardness)) for heat in loose)


def _cycled(seen, piece, about):
    return any((heat.cycles or 0) >= MANY_CYCLES for heat in _later(seen, piece, about))


def _broken(seen, piece, about):
    return any(heat.grain is not None or heat.fracture is not None for heat in about)


def _tried_twice(seen, piece, about):
    edged = [t for t in seen.trials if t.piece == piece and t.trial in ("rope", "chop")]
    return len(edged) > 1


def _blade_broke(seen, piece, about):
    """Whether a blade of the heats that it is about broke at its work: no edge is left to mend."""
    at = {None, *((heat.coupon, heat.heat) for heat in about)}
    own = [t for t in seen.trials if t.piece == piece and t.trial in ("rope", "chop")]
    return any(t.edge == "broke" and t.heat in at for t in own)


def _hard_inside(seen, piece, about):
    """Whether it was read hard below the skin: then it is no case."""
    return any(any(map(is_hard, of_place(h.hardness, "below"))) for h in _own(seen, piece))


def _each_quenched(seen, piece, about):
    return all(true_readings(heat.hardness) for heat in about)


# Each cure as its parts, in their order, each with what shows that it was done already; None:
# nothing that is written down shows it. All of them are common practice, no source.
RULE_CURES: dict[str, tuple[tuple[str, Done | None], ...]] = {
    "faster_softer": (
        ("Grind 0.3 mm off and file again below the skin.", _below),
        ("Quench both once more from one and the same heat, checked with a magnet.", _again),
    ),
    "tempered_harder": (
        ("Grind 0.3 mm off and file again below the skin, both before and after the temper, on "
         "the same place.", _below_tempered),
        ("Where it holds after a hot temper the steel is rich in alloy: temper it there, never "
         "cooler.", None),
    ),
    "hard_after_high_temper": (
        ("Look up first whether that temper was in °F or in °C, and write its unit.",
         lambda seen, piece, about: not no_unit_typed(about)),
        ("Check the oven with a second thermometer, and file again.", _again),
        ("Where it holds, harden a coupon in still air: a steel rich in alloy hardens there.",
         _in_air),
        ("It is rich in alloy where the oven reads right: temper it there or hotter, never "
         "cooler.", None),
    ),
    "skin_differs": (
        ("Trust the reading below: grind the skin off before any test. A soft skin has lost its "
         "carbon; a hard skin over a soft inside is a case.", None),
    ),
    "one_heat_hard_and_soft": (
        ("Grind 0.3 mm off both places and file again.", _below),
        ("Where they still differ, quench both coupons once more from one and the same heat.",
         _again),
    ),
    "alike_differ": (
        ("Harden a coupon of {piece} once more as the harder one was, or a step hotter: as hard, "
         "this is past.", lambda *told: odd_is_harder(*told) or made_again_alike(*told)),
        ("Harden a coupon of {odd} once more as its sisters were, for it alone came out harder.",
         odd_made_again),
        ("Where they still differ sort each piece by itself: mark it, spark it, and write it down "
         f"{OWN_LOT}", None),
        ("Take a coupon of its own from each.", _each_quenched),
    ),
    "coarse_and_hard": (
        ("Normalise, then cycle three times, each less hot; harden a fresh coupon a little cooler "
         "and break it.", _cycled),
    ),
    "cracked": (
        ("Where it cracked it was hot enough to harden: file below the skin before you call it "
         "soft.", _hard_or_below),
        ("Normalise, take off every sharp corner and scratch, and quench a fresh one slower.",
         _in_air_only),
        ("Slower than oil is warm oil, or air.", _not_in_oil),
        ("No quench is slower than air: take off every sharp corner and scratch, and harden from "
         "a lower heat.", lambda *told: not _in_air_only(*told)),
        (OLD_CRACK, None),
    ),
    "cracked_alone": (
        ("Take a fresh coupon, away from any old crack, without sharp corners or scratches, and "
         "quench it the same.", None),
        (OLD_CRACK, None),
    ),
    "few_sparks_hard": (
        ("Grind 0.3 mm off, spark and file again below the skin: a case is rich in carbon outside "
         "only.", _hard_inside),
        ("Where it is hard below, harden a coupon in still air.", _in_air),
    ),
    "many_sparks_soft": (
        ("Grind 0.3 mm off and file again below the skin.", _below),
        ("Quench hotter, past where the magnet lets go.", _again_or_cracked),
    ),
    "not_magnetic_many_sparks": (
        ("Try the magnet on bright metal and spark it again beside both known pieces; where both "
         "hold, do not work it: manganese steel does not harden in a quench.", None),
    ),
    "hard_short_life": (
        ("Look at the break: sugar is coarse grain, a dark part was a crack before the blow; of "
         "that write fracture='old crack' in the blade's heat, and the break counts against the "
         "forging alone.",
         lambda *told: not _blade_broke(*told) or _broken(*told)),
        ("Use no blade of this heat treatment: harden a new one, its grain fine, and temper it "
         "hotter.", lambda *told: not _blade_broke(*told)),
        ("Break a coupon of the same heat and look at the grain.",
         lambda *told: _blade_broke(*told) or _broken(*told)),
        ("File the blade below its skin.", lambda *told: _blade_broke(*told) or _below(*told)),
        ("Measure the edge angle, take off the wire edge and run it once more: all this before "
         "you blame the steel.", lambda *told: _blade_broke(*told) or _tried_twice(*told)),
        ("Then suspect too short a soak, or soft austenite from too hot a heat.",
         _blade_broke),
    ),
    "tester_and_files": (
        ("Try the tester on a block of known hardness, and the files on steel of known hardness; "
         "then read both on one bright spot below the skin, and take the wrong reading out.", None),
    ),
    "magnetic_when_hot": (
        ("Check the thermometer in boiling water or beside a second one, and hold the magnet to "
         "the coupon in the fire; take out what read wrong.", None),
    ),
    "not_magnetic_when_cold": (
        ("Check the thermometer in boiling water or beside a second one, and hold the magnet to "
         "the coupon in the fire; take out what read wrong.", None),
    ),
    "drawn_too_far": (
        ("File the skin off and read again on clean steel, before any other temper.",
         _drawn_below),
        ("Check the oven with a second thermometer, and that the coupon is the one that was "
         "quenched.", None),
        ("Then read it once more below the skin, before any other temper.",
         lambda seen, piece, about: not drawn_below(about) or read_again_below(about)),
    ),
    "temper_read_up": (
        ("Read the coupon again on a bright spot below the skin, with one and the same files or "
         "tester, before you go by its temper; correct the reading that was wrong.", None),
    ),
    "temper_read_apart": (
        ("Grind 0.3 mm off both places of the tempered coupon and read them again below the skin, "
         "before any other temper.", lambda seen, piece, about: not apart_after_last(about)),
        ("Where they still differ it did not harden evenly: harden it again, evenly hot, before "
         "you judge its temper.", None),
    ),
    "hotter_temper_harder": (
        ("Read both coupons again, one after the other, on bright spots below the skin.", None),
        ("Check the oven with a second thermometer.", None),
    ),
}  # fmt: skip


def cure_left(code: str, seen: SteelSeen, piece: str, about: Sequence[HeatSeen]) -> str:
    """What is left to do about a contradiction: its cure without what was done already.

    Parameters
    ----------
    code : str
        Of the contradiction.
    seen : SteelSeen
    piece : str
        The piece that it is about.
    about : sequence of HeatSeen
        The heats that it is about; none where it is about the piece as found.
    """
    parts = RULE_CURES[code]
    left = [text for text, done in parts if done is None or not done(seen, piece, about)]
    once_more = code == "one_heat_hard_and_soft" and repeated(about, _own(seen, piece))
    words = " ".join(left) or (ONCE_MORE if once_more else ALL_DONE)
    odd = odd_of_several(seen, piece) or odd_by_sparks(of_its_lot(seen, piece))
    odd = odd if odd in {heat.piece for heat in about} else piece
    words = joining_alike(one_or_both(words, about), seen, odd)
    words = words.replace("{piece}", quote(piece)).replace("{odd}", quote(odd))
    return words.replace("{line}", _left_out(code, seen, piece, about)) if "{" in words else words


def one_or_both(words: str, about: Sequence[HeatSeen]) -> str:
    """A cure in the words of the one coupon, where all its heats are of that one."""
    one = len({(heat.piece, heat.coupon) for heat in about}) == 1
    return words.replace("quench both coupons", "quench that coupon") if one else words


def _left_out(code, seen, piece, about):
    """The line that leaves out what a contradiction rests on; STUDY stands for the study's path.

    A hardness is left out with its reason, and kept.
    """
    table, key = RESTS_ON.get(code, ("heats" if about else "pieces", None))
    if table == "pieces":
        row = f"pieces id={quote(piece)}"
    else:
        heat = about[0]
        made = f"blade={quote(heat.blade)}" if heat.blade else f"coupon={quote(heat.coupon)}"
        row = f"heats piece={quote(piece)} {made} heat={heat.heat}"
    return f"edgetest enter STUDY --evidence {row} {f'--replace {key}=' if key else KEPT_ASIDE}"
