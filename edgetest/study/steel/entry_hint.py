"""How is the next test written down at the prompt, once it is done?"""

from itertools import count
from shlex import quote

from edgetest.steel.gave_out import BLADE_NAME
from edgetest.steel.hardened_rules import STRUCK
from edgetest.steel.situation import stopped
from edgetest.steel.surely import high_of, is_hard, low_of, true_readings
from edgetest.steel.trade_rules import FUMING
from edgetest.study.steel.entry_again import again_hint
from edgetest.study.steel.evidence_words import nearest_reads
from edgetest.study.steel.steel_result import SteelResult

# By test: the table, and cells as somebody may have found them.
_OF_PIECE = {
    "magnet": "magnet=strong",
    "sparks": "sparks=between stream='bright forked'",
    "file_as_found": "hardness_skin='45-50' hardness_below='45-50'",
    "laboratory": "carbon_pct=0.62",
}
_QUENCHED = "magnet='lets go' soak_min=5 section_mm=6 hardness_below='60-65' grain=fine " \
    "fracture='snapped clean'"  # fmt: skip
_NEW_COUPON = {
    "coupon_oil": "oil",
    "coupon_water": "warm_water",
    "coupon_air": "air",
    "quench_hotter": "oil",
    "normalise_and_quench": "oil",
    "second_piece": "oil",
}
_OF_HEAT = {
    "grind_and_file": "hardness_below='60-65'",
    "break_coupon": "fracture='snapped clean' grain=fine",
    "look_at_break": "fracture='snapped clean' grain=fine",
}
_BESIDE = "test=rope result=same edge=sound life_ratio='0.9 (0.7 to 1.1)' beside='my known blade'"
_TRIAL = {
    "brass_rod": "test='brass rod' edge=sound",
    "bend": "test=bend edge=sound",
    "trial_blade": _BESIDE,
    "sharpen_again": _BESIDE,
    "temper_and_try": _BESIDE,
}

FIRST_LOOK = "id='disc A' origin='plough disc' lot=discs coating=none lead=no magnet=strong"
# An example that is typed as it stands must not let fire near.
UNSAFE_LOOK = {"coating": "painted", "lead": "suspected"}
_TEMPERED = "time_min=60 repeats=2 hardness=58 for_use=yes"
LADDER_C = (175, 260, 14)  # coolest and hottest temper of a ladder, and a step, as its title says
MADE = (
    "Write down its heat and its temper as you make it, for the blade is judged by them; then what "
    "it did. Such as:"
)


def entry_hint(result: SteelResult, folder) -> str:
    """The command that writes down the next test, its finds an example; "" where none is next."""
    test = result.asked.decision.next_test
    if test is None and result.asked.decision.action == "heat_treat_again":
        blade = _next_name(result, BLADE_NAME)
        decision, piece = result.asked.decision, result.asked.piece
        return again_hint(decision, piece, result.seen.heats, folder, blade)
    if test is None:
        return _once_safe(result, folder)
    rows = _rows(test.code, result)
    told = [f"edgetest enter {quote(str(folder))} --evidence {row}" for row in rows]
    if len(told) < 2:
        return f"Then write down what you found, such as: {told[0]}" if told else ""
    return "\n  ".join((MADE, *told))


def _once_safe(result, folder) -> str:
    """The command for a first look, or for what stands in the way of fire once it is gone."""
    begin = f"edgetest enter {quote(str(folder))} --evidence pieces"
    if result.asked.decision.action == "first_step":
        return f"Write down what you see, such as: {begin} {FIRST_LOOK}"
    piece = next((one for one in result.seen.pieces if one.id == result.asked.piece), None)
    if piece is None or result.asked.decision.action != "safety_stop" or piece.lead == "yes":
        return ""
    cells = {
        "coating=removed": piece.coating in FUMING,
        "lead=no": piece.lead == "suspected",
        "closed_hollow=no": piece.closed_hollow,
        "loaded_spring=no": piece.loaded_spring,
    }
    mended = " ".join(cell for cell, stands in cells.items() if stands)
    if not mended:
        return ""
    named = f"{begin} id={quote(piece.id)}"
    return f"Once it is so, and not before, write it down: {named} --replace {mended}"


def _of_look(result) -> str:
    """A look at the coating as an example that keeps the fire off; over what stands there."""
    piece = next((one for one in result.seen.pieces if one.id == result.asked.piece), None)
    now = {"coating": piece and piece.coating, "lead": piece and piece.lead}
    told = [f"{key}={UNSAFE_LOOK[key]}" for key, said in now.items() if said in (None, "unknown")]
    return " ".join(["--replace"] * ("unknown" in now.values()) + told)


def _rows(code, result) -> tuple[str, ...]:
    """Tables and cells of a test in the order of the work; none of one written down otherwise."""
    row = _row(code, result)
    if code not in ("trial_blade", "temper_and_try"):
        return (row,) if row else ()
    piece = quote(result.asked.piece)
    heat, temper = _worked(result)
    if code == "temper_and_try" and result.asked.decision.of:
        coupon, number = result.asked.decision.of
        here = f"piece={piece} coupon={quote(coupon)} heat={number}"
        return f"tempers {here} {temper} {_TEMPERED}", f"trials {here} {_TRIAL[code]}"
    blade = _next_name(result, BLADE_NAME)
    here = f"piece={piece} coupon={blade}"
    return (
        f"heats {here} heat=1 {heat} soak_min=5 section_mm=4 hardness_below='60-65'",
        f"tempers {here} heat=1 {temper} {_TEMPERED}",
        row.replace("trials piece=", f"trials heat=1 coupon={blade} piece=", 1),
    )


def _sister(result) -> str:
    """A piece of the lot of which no coupon was quenched yet, and that nothing stops."""
    quenched = {heat.piece for heat in result.seen.heats if heat.hardness}
    asked = next((p for p in result.seen.pieces if p.id == result.asked.piece), None)
    free = (
        p.id
        for p in result.seen.pieces
        if asked is not None and p.id != asked.id and p.lot == asked.lot
        and p.id not in quenched and not stopped(p)
    )  # fmt: skip
    return next(free, "OTHER")


def _next_name(result, kind) -> str:
    """The first name of a coupon or trial blade that nothing of the steel has yet."""
    taken = {heat.coupon.casefold() for heat in result.seen.heats}
    return next(name for n in count(1) if (name := f"{kind}{n}") not in taken)


def _worked(result) -> tuple[str, str]:
    """Quench and temper that the piece's own coupons showed to work; else usual ones."""
    hard = _hard_heats(result)
    near = nearest_reads(hard, result.wanted_hrc)
    temper = near[0][0] if near else None
    tempered = [heat for heat in hard if temper in heat.tempers]
    best = max(tempered or hard, key=_read_hrc, default=None)
    at = f"'{temper.temperature_c:.0f} °C'" if temper else "205"
    return _quench(best), f"temperature_c={at}"


def _quench(heat) -> str:
    """Medium and heat of a coupon's quench; usual ones for what it does not tell."""
    medium = heat.medium if heat and heat.medium else "oil"
    heat_c = f"{heat.heat_c:.0f}" if heat and heat.heat_c is not None else "810"
    return f"medium={medium} heat_c='{heat_c} °C'"


def _hard_heats(result):
    """Heats of the piece that came out hard, whole and not coarse."""
    return [
        heat for heat in result.seen.heats
        if heat.piece == result.asked.piece and not (heat.carburised or heat.cracked)
        and heat.grain != "coarse" and any(map(is_hard, true_readings(heat.hardness)))
    ]  # fmt: skip


def _read_hrc(heat):
    return max(min(high_of(one), low_of(one) + 5) for one in true_readings(heat.hardness))


def _next_step_c(result) -> int:
    """The step of the ladder that is next: a step above the hottest temper of the coupon."""
    of = result.asked.decision.of or ("1", 1)
    done = [
        temper.temperature_c
        for heat in result.seen.heats
        if (heat.piece, heat.coupon, heat.heat) == (result.asked.piece, *of)
        for temper in heat.tempers
        if temper.temperature_c is not None
    ]
    coolest, hottest, step = LADDER_C
    return round(min(max(done) + step, hottest)) if done else coolest


def _row(code, result) -> str:
    """Table and cells of a test; "" for one that is written down otherwise."""
    piece = quote(result.asked.piece)
    coupon, heat = result.asked.decision.of or ("1", 1)
    here = f"piece={piece} coupon={quote(coupon)}"
    if code == "look_at_coating":
        return f"pieces id={piece} {_of_look(result)}"
    if code in _OF_PIECE:
        return f"pieces id={piece} {_OF_PIECE[code]}"
    if code in _NEW_COUPON:
        if code == "second_piece":
            here = f"piece={quote(_sister(result))} coupon=1"
        return f"heats {here} medium={_NEW_COUPON[code]} {_QUENCHED}"
    if code == "break_coupon" and result.asked.decision.of is None:
        return f"heats piece={piece} coupon={_next_name(result, 'coupon')} medium=oil {_QUENCHED}"
    if code in _OF_HEAT:
        return f"heats {here} heat={heat} {_OF_HEAT[code]}"
    if code == "temper_ladder":
        return f"tempers {here} temperature_c={_next_step_c(result)} time_min=60 hardness='55-60'"
    if code in _TRIAL and result.asked.decision.of:
        return f"trials {here} heat={heat} {_trial(code, result)}"
    return f"trials piece={piece} {_trial(code, result)}" if code in _TRIAL else ""


def _trial(code, result) -> str:
    """Cells of a trial: a tool that is struck is tried by chopping, a knife on rope."""
    struck = result.seen.use in STRUCK
    return _TRIAL[code].replace("test=rope", "test=chop") if struck else _TRIAL[code]
