"""What can hurt a maker at each step of the work on a found steel, and how is it avoided?

Every caution is common practice, no source.
"""

from edgetest.steel.steel_seen import PieceSeen

FUMES = (
    "Plated, galvanised, painted or unknown scrap gives off fumes that can kill: keep it out of "
    "the fire until you have looked and the coating is off."
)
HOLLOW = (
    "A sealed hollow part bursts in the fire: open it cold, with a drill or a saw, and see that it "
    "is empty."
)
SPRING = (
    "A loaded spring throws whatever holds it: unload it in a press or clamp before you cut or "
    "heat it."
)
CRACKED = (
    "A crack is noted in it: before the next step cut the crack off with a margin, or leave the "
    "piece. A crack runs on in the quench, and flies at the first blow."
)
GRINDER = (
    "At the grinder: eye and breathing protection, the guard on, and nothing near that burns; "
    "sparks set dust alight."
)
FIRE = "Keep the fire aired: burning fuel gives off carbon monoxide, which has no smell."
QUENCH_FIRE = (
    "Quench in oil with all hot metal under at once, ample oil, a lid and an extinguisher at hand."
)
LEAD_OPEN = (
    "Nobody has written down whether it holds lead, in the steel or in old paint: ask before any "
    "fire or grinding, and write lead = no, suspected or yes."
)
LEAD_NOT_KNOWN = (
    "You wrote that nobody knows whether it holds lead, in the steel or in old paint: ask before "
    "any fire or grinding, then write lead = no, suspected or yes."
)
STEAM = (
    "Where you quench in water or brine, it throws scalding steam and spray: face shield, gloves, "
    "sleeves down, and nobody leans over the tank."
)
BREAKING = "Break the coupon wrapped in cloth, behind glasses or a shield, with nobody in line."
BROKEN = (
    "A blade broke: use neither it nor any blade of the same heat treatment; keep the parts, and "
    "mind the sharp edges of the break."
)
TEMPERING = "Never temper in a bath of hot oil: it catches fire. Use an oven or hot sand."
TEST_BLADE = (
    "Wear glasses at the test blade: a hard edge throws chips.",
    "Check tang and handle first; swing free, with nobody in line; stop at the first crack.",
)
BENDING = (
    "At the bend: glasses and gloves on, a cloth over the bar, bend away from your face, with "
    "nobody in line: a hard bar snaps without a sign, and its end flies."
)
PACK = (
    "The pack gives off carbon monoxide, which has no smell and kills: fire it outdoors or under "
    "extraction, with an alarm beside you, and open it there too.",
    "Lute the lid with clay and leave a small vent (common practice, no source): a box shut tight "
    "can burst.",
    "Use a compound made for carburising, dry; an unknown powder gives off unknown fumes. No "
    "cyanide.",
    "A sealed hollow part bursts in the fire: drill it open before you pack it.",
)
CODES = "Local fire, fume and waste codes and licensed practice come first."
LABORATORY = (
    "Where a part's failure could hurt someone, a laboratory decides, not a shop test: nothing "
    "here certifies a steel."
)

_COUPON = (FUMES, FIRE)
CAUTIONS = {
    "file_as_found": (GRINDER,),
    "look_at_coating": (FUMES,),
    "sparks": (GRINDER,),
    "grind_and_file": (GRINDER,),
    "grind_skin": (GRINDER,),
    "coupon_air": (*_COUPON,),
    "coupon_oil": (*_COUPON, QUENCH_FIRE),
    "coupon_water": (*_COUPON, STEAM),
    "break_coupon": (BREAKING,),
    "look_at_break": (BROKEN,),
    "temper_and_try": (TEMPERING, GRINDER, *TEST_BLADE),
    "temper_ladder": (TEMPERING,),
    "brass_rod": ("Wear glasses at the brass rod: a hard edge throws chips.",),
    "bend": (BENDING,),
    "trial_blade": (*_COUPON, QUENCH_FIRE, GRINDER, *TEST_BLADE, LABORATORY),
    "sharpen_again": (GRINDER, *TEST_BLADE),
    "second_piece": (*_COUPON, QUENCH_FIRE, GRINDER),
    "sort_lot": (GRINDER,),
    "laboratory": (GRINDER,),
    "hotter": (*_COUPON, QUENCH_FIRE, STEAM),
    "cooler": (*_COUPON, QUENCH_FIRE, STEAM),
    "normalise": (*_COUPON, QUENCH_FIRE, STEAM),
    "longer_soak": (*_COUPON, QUENCH_FIRE, STEAM),
    "faster_quench": (*_COUPON, STEAM),
    "slower_quench": (*_COUPON, QUENCH_FIRE),
    "repeat": (*_COUPON, QUENCH_FIRE, STEAM),
    "temper_hotter": (TEMPERING,),
    "temper_cooler": (*_COUPON, QUENCH_FIRE, TEMPERING),
    "carburise": (CODES, FUMES, *PACK, FIRE, QUENCH_FIRE, STEAM),
    "reuse": (*_COUPON, QUENCH_FIRE, GRINDER, *TEST_BLADE, LABORATORY),
    "light_use": (*_COUPON, QUENCH_FIRE, GRINDER, *TEST_BLADE, LABORATORY),
    "first_step": (FUMES, HOLLOW, SPRING),
    "safety_stop": (CODES,),
}


def cautions_of(step: str | None) -> tuple[str, ...]:
    """What to mind at a step: the code of a test, of a way to heat-treat again, or of an action.

    A look at a magnet or at your notes, and a piece that is left, have none of their own.
    """
    return CAUTIONS.get(step or "", ())


def cautions_of_piece(piece: PieceSeen) -> tuple[str, ...]:
    """What to mind with this piece before any heat or grinding, whatever the step.

    A coating that was looked for and is not there needs no caution; one not looked for does.
    """
    found = [CRACKED] if piece.cracked else []
    if piece.coating == "hard_chrome":
        found.append(
            "Hard chrome: neither heat it nor grind it, for its dust and fumes cause cancer. Have "
            "it stripped by licensed practice, or leave the piece."
        )
    elif piece.coating not in ("none", "removed"):
        found.append(FUMES)
    if piece.lead in ("yes", "suspected"):
        found.append(
            "Lead, as in free-machining bar or in old paint, poisons by dust and fumes: keep it "
            "out of the fire and away from the grinder."
        )
    if piece.closed_hollow:
        found.append(HOLLOW)
    if piece.loaded_spring:
        found.append(SPRING)
    if piece.lead == "unknown":
        found.append(LEAD_NOT_KNOWN)
    elif piece.lead is None and piece.coating in ("none", "removed"):
        found.append(LEAD_OPEN)  # any other coating is held back already
    return tuple(found)


def cautions_at(step: str | None, piece: PieceSeen | None) -> tuple[str, ...]:
    """Everything to mind at a step with a piece, each once, the piece's own first.

    Parameters
    ----------
    step : str or None
        As for `cautions_of`.
    piece : PieceSeen or None
        None where nothing was entered yet.
    """
    own = cautions_of_piece(piece) if piece is not None else ()
    bare = piece is not None and piece.coating in ("none", "removed", "hard_chrome")
    said = [one for one in cautions_of(step) if not (bare and one == FUMES)]
    return tuple(dict.fromkeys((*own, *said)))
