"""How is the next test written down at the prompt, once it is done?"""

from dataclasses import replace
from shlex import quote

from edgetest.steel.advised_temper import advised_c, models, nearest_reads, to_take
from edgetest.steel.broke_alike import past_break_c
from edgetest.steel.hardened_rules import STRUCK
from edgetest.steel.lot_temper import lot_temper
from edgetest.steel.rule_cures import apart_after_last
from edgetest.steel.steel_seen import BLADE_NAME, HeatSeen
from edgetest.steel.surely import high_of, is_hard, low_of, of_place, true_readings
from edgetest.steel.tough_tried import ON_A_COUPON
from edgetest.steel.trade_rules import FUMING
from edgetest.steel.tried_blades import EDGED, too_short_alone, tried_blades, use_tempers
from edgetest.study.steel.chop_first import chop_first_hint
from edgetest.study.steel.entry_again import SOAK_MIN, again_hint
from edgetest.study.steel.fill_in import (
    BY_FILES,
    MADE,
    MAGNET_COLD,
    MAGNET_HOT,
    TEMPERED,
    hardness_once_more,
    hardness_to_fill_in,
    heat_to_fill_in,
    known_beside,
    to_fill_in,
)
from edgetest.study.steel.free_names import first_or_new, new_coupon, next_name
from edgetest.study.steel.lot_lines import lot_words, sister_row, sorted_row
from edgetest.study.steel.steel_result import SteelResult
from edgetest.study.steel.unsure_row import row_of_unsure

# By test: the table, and the cells that somebody is to fill in.
_OF_PIECE = {
    "magnet": f"magnet={MAGNET_COLD}",
    "sparks": to_fill_in("sparks", "stream"),
    "file_as_found": f"hardness_skin={BY_FILES} hardness_below={BY_FILES}",
    "laboratory": to_fill_in("carbon_pct"),
}
_BROKEN = to_fill_in("fracture", "grain")
_NEW_COUPON = {
    "coupon_oil": "oil",
    "coupon_water": "warm_water",
    "coupon_air": "air",
    "second_piece": "oil",
}
_OF_HEAT = ("grind_and_file", "break_coupon", "look_at_break")
_BESIDE = f"test=rope {to_fill_in('result', 'edge', 'life_ratio', 'beside')}"
_TRIAL = {
    "brass_rod": f"test='brass rod' {to_fill_in('edge')}",
    "bend": f"test=bend {to_fill_in('edge')}",
    "trial_blade": _BESIDE,
    "sharpen_again": _BESIDE,
    "temper_and_try": _BESIDE,
}

FIRST_LOOK = (
    f"{to_fill_in('id', 'origin', 'lot', 'makes_blades', 'coating', 'lead')} magnet={MAGNET_COLD}"
)
_TEMPERED = "time_min=60 repeats=2"
LADDER_C = (175, 260, 14)  # coolest and hottest temper of a ladder, and a step, as its title says
FOUND = "Then write down what you found, in place of the words in capitals:"
KEPT = "No test is next. For the page to keep:"


def entry_hint(result: SteelResult, folder) -> str:
    """The command that writes down the next test, its finds an example; "" where none is next."""
    test = result.asked.decision.next_test
    if test is None and result.asked.decision.action == "heat_treat_again":
        asked = result.asked
        new = new_coupon(result) if _of_coupon(result) else next_name(result, BLADE_NAME)
        return again_hint(asked.decision, asked.piece, result.seen, folder, new)
    if test is None:
        return _once_safe(result, folder)
    rows = _rows(test.code, result)
    told = [f"edgetest enter {quote(str(folder))} --evidence {row}" for row in rows]
    if len(told) < 2:
        what = lot_words(result) if " --replace lot=" in "".join(told) else FOUND
        return f"{what} {told[0]}{_known(test.code, folder, result)}" if told else ""
    return "\n  ".join((MADE if len(told) > 2 else TEMPERED, *told))


def _known(code, folder, result) -> str:
    return known_beside(code, folder, getattr(result, "rows", None))


def _once_safe(result, folder) -> str:
    """The command for a first look, or for what stands in the way of fire once it is gone."""
    begin = f"edgetest enter {quote(str(folder))} --evidence pieces"
    if result.asked.decision.action == "first_step":
        return f"Write down what you see, in place of the words in capitals: {begin} {FIRST_LOOK}"
    if result.asked.decision.soak:
        again = replace(result.asked.decision, way="longer_soak")
        new = next_name(result, BLADE_NAME)
        return again_hint(again, result.asked.piece, result.seen, folder, new)
    if result.asked.decision.action in ("reuse", "light_use", "leave", "buy_known"):
        return chop_first_hint(result, folder) or f"{KEPT} edgetest report {quote(str(folder))}"
    piece = next((one for one in result.seen.pieces if one.id == result.asked.piece), None)
    if piece is None or result.asked.decision.action != "safety_stop" or piece.lead == "yes":
        return ""
    cells = {
        "coating=removed": piece.coating in FUMING,
        "lead=no": piece.lead == "suspected",
        to_fill_in("lead"): piece.coating in FUMING and piece.lead == "unknown",
        "closed_hollow=no": piece.closed_hollow,
        "loaded_spring=no": piece.loaded_spring,
    }
    mended = " ".join(cell for cell, stands in cells.items() if stands)
    if not mended:
        return ""
    named = f"{begin} id={quote(piece.id)}"
    return f"Once it is so, and not before, write it down: {named} --replace {mended}"


def _of_look(result) -> str:
    """A look at the coating and at lead, over what stands there."""
    piece = next((one for one in result.seen.pieces if one.id == result.asked.piece), None)
    now = {"coating": piece and piece.coating, "lead": piece and piece.lead}
    told = [to_fill_in(key) for key, said in now.items() if said in (None, "unknown")]
    return " ".join(["--replace"] * ("unknown" in now.values()) + told)


def _rows(code, result) -> tuple[str, ...]:
    """Tables and cells of a test in the order of the work; none of one written down otherwise."""
    row = _row(code, result)
    if first := getattr(result.asked.decision, "tempers_first", None):
        here = row.partition(" test=")[0].replace("trials", "tempers", 1)
        return (f"{here} temperature_c='{first.temper_c:.0f} °C' {_tempered(result)}", row)
    fresh = code in ON_A_COUPON and result.asked.decision.of is None and _laddered(result)
    if code not in ("trial_blade", "temper_and_try") and not fresh:
        return (row,) if row else ()
    piece = quote(result.asked.piece)
    heat, temper = _worked(result)
    if code == "temper_and_try" and result.asked.decision.of:
        return _rows_again(code, result, temper)
    blade = new_coupon(result) if fresh else next_name(result, BLADE_NAME)
    here = f"piece={piece} coupon={blade}"
    return (
        f"heats {here} heat=1 {heat} {to_fill_in('section_mm')} {_below(result)}",
        f"tempers {here} heat=1 {temper} {_tempered(result)}",
        row.replace("trials piece=", f"trials heat=1 coupon={blade} piece=", 1),
    )


def _rows_again(code, result, temper) -> tuple[str, ...]:
    """The temper and the trial of a blade that is there; its trial alone where it was tempered."""
    coupon, number = result.asked.decision.of
    here = f"piece={quote(result.asked.piece)} coupon={quote(coupon)} heat={number}"
    tried = f"trials {here}{_had(result)}{_over(result)} {_trial(code, result)}"
    own = _heats_of(result, coupon)
    if any(not t.short for h in own if h.heat == number for t in h.tempers):  # tempered, untried
        return (tried,)
    done = [one.temperature_c for heat in own for one in use_tempers(heat)]
    temper = f"temperature_c='{done[-1]:.0f} °C'" if done and done[-1] is not None else temper
    return f"tempers {here} {temper} {_tempered(result)}", tried


def _over(result) -> str:
    """That a trial is written over one too short to tell; "" for a run that its maker set aside."""
    piece, of = result.asked.piece, result.asked.decision.of
    own = [one for one in result.seen.trials if (one.piece, one.heat) == (piece, of)]
    return " --replace" if too_short_alone(own) else ""


def _had(result) -> str:
    """The cell of the temper that a coupon had last, where it had several; "" where it had not."""
    coupon, number = result.asked.decision.of
    own = [one for one in _heats_of(result, coupon) if one.heat == number]
    told = [one.temperature_c for heat in own for one in use_tempers(heat)]
    one = len(set(told)) < 2 or told[-1] is None
    return "" if one else f" temper_c='{told[-1]:.0f} °C'"


def _laddered(result) -> bool:
    """Whether a coupon of the piece was tempered, so that a fresh one is meant where none is."""
    return any(one.tempers for one in result.seen.heats if one.piece == result.asked.piece)


def _heats_of(result, coupon) -> list[HeatSeen]:
    """The heats of a coupon or blade of the piece asked about."""
    piece = result.asked.piece
    return [one for one in result.seen.heats if (one.piece, one.coupon) == (piece, coupon)]


def _of_coupon(result) -> bool:
    """Whether the step goes on with a coupon whose edge was never worn in a trial."""
    of = result.asked.decision.of
    worn = [one for one in result.seen.trials if one.trial in EDGED]
    tried = [one.heat for one in worn if one.piece == result.asked.piece]
    return of is not None and of not in tried and not of[0].casefold().startswith(BLADE_NAME)


def _as_the_blade(result) -> str:
    """Cells of a fresh coupon quenched as the blade tried last was; of a usual one for none."""
    mine = [t.heat for t in result.seen.trials if t.heat and t.piece == result.asked.piece]
    own = _heats_of(result, mine[-1][0]) if mine else []
    heat = next((one for one in own if one.heat == mine[-1][1]), None)
    if heat is None:
        return f"medium=oil {_quenched(result)}"
    at_c, soak_min, section_mm = heat.heat_c, heat.soak_min, heat.section_mm
    told = {
        "medium": heat.medium,
        "heat_c": at_c and f"'{at_c:.0f} °C'",
        "colour": heat.colour and quote(heat.colour.replace("_", " ")),
        "cycles": heat.cycles,
        "soak_min": soak_min and f"{soak_min:g}",
        "section_mm": section_mm and f"{section_mm:g}",
    }
    cells = " ".join(f"{key}={value}" for key, value in told.items() if value is not None)
    return f"{cells} magnet={MAGNET_HOT} {_below(result)} {_BROKEN}"


def _worked(result) -> tuple[str, str]:
    """Quench and temper that the piece's own coupons showed to work; else usual ones."""
    heats, trials = _as_it_is(result.seen.heats, result), _as_it_is(result.seen.trials, result)
    take = advised_c(heats, trials, result.wanted_hrc)
    take = past_break_c(result.seen, result.asked.piece, take)
    read = to_take(nearest_reads(models(heats, trials), result.wanted_hrc, trials))
    shown = [read.heat] if read and read.heat in _whole(heats) else _hard_heats(heats)
    stood = [blade.at for blade in tried_blades(trials, heats)[-1:] if blade.stood]
    best = next((heat for heat in heats if (heat.coupon, heat.heat) in stood), None)
    best = best or max(shown, key=_read_hrc, default=None)
    at = "205" if take is None else f"'{take:.0f} °C'"
    return _quench(best, result.seen), f"temperature_c={at}"


def _quench(heat, seen) -> str:
    """Medium, heat and soak of a coupon's quench; usual ones where it does not tell."""
    medium = heat.medium if heat and heat.medium else "oil"
    soak = f"{(heat and heat.soak_min) or SOAK_MIN:g}"
    return f"medium={medium} {heat_to_fill_in(seen, heat and heat.heat_c, heat)} soak_min={soak}"


def _quenched(result) -> str:
    """The cells of a new coupon, beside its medium."""
    at = heat_to_fill_in(result.seen, None)
    heat = f"{at} magnet={MAGNET_HOT} soak_min=5 {to_fill_in('section_mm')}"
    return f"{heat} {_below(result)} {to_fill_in('grain', 'fracture')}"


def _below(result) -> str:
    return hardness_to_fill_in(result.seen, "hardness_below")


def _tempered(result) -> str:
    return f"{_TEMPERED} {hardness_to_fill_in(result.seen, 'hardness')} for_use=yes"


def _as_it_is(rows, result):
    """Those of heats or trials that are of the piece asked about, without those of a pack."""
    return [one for one in rows if one.piece == result.asked.piece and not one.carburised]


def _whole(heats):
    """Heats that were read, and came out neither cracked nor coarse."""
    return [h for h in heats if h.hardness and not h.cracked and h.grain != "coarse"]


def _hard_heats(heats):
    """Heats that came out hard, whole and not coarse."""
    return [heat for heat in _whole(heats) if any(map(is_hard, true_readings(heat.hardness)))]


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
        if temper.temperature_c is not None and not temper.short
    ]
    coolest, hottest, step = LADDER_C
    begun = lot_temper(result.seen, result.asked.piece)
    first = coolest if begun is None else begun[2]
    return round(min(max(done) + step, hottest) if done else first)


def _row(code, result) -> str:
    """Table and cells of a test; "" for one that is written down otherwise."""
    piece = quote(result.asked.piece)
    coupon, heat = result.asked.decision.of or ("1", 1)
    here = f"piece={piece} coupon={quote(coupon)}"
    if code == "look_at_coating":
        return f"pieces id={piece} {_of_look(result)}"
    if code == "sort_lot":
        return sorted_row(result)
    if code in _OF_PIECE:
        return f"pieces id={piece} {_OF_PIECE[code]}"
    if code in _NEW_COUPON:
        cells = f"medium={_NEW_COUPON[code]} {_quenched(result)}"
        if code == "second_piece":
            return sister_row(result, cells)
        return f"heats piece={piece} coupon={quote(first_or_new(result))} {cells}"
    if code == "break_coupon" and result.asked.decision.of is None:
        return f"heats piece={piece} coupon={new_coupon(result)} {_as_the_blade(result)}"
    if code == "look_up_degrees":
        return f"tempers {here}{row_of_unsure(result)} --replace {to_fill_in('temperature_c')}"
    if code in _OF_HEAT:
        return _of_heat(code, result, f"{here} heat={heat}")
    if code == "temper_ladder":
        read = hardness_to_fill_in(result.seen, "hardness")
        return f"tempers {here} temperature_c={_next_step_c(result)} time_min=60 {read}"
    if code in _TRIAL and result.asked.decision.of:
        return f"trials {here} heat={heat}{_had(result)} {_trial(code, result)}"
    return f"trials piece={piece} {_trial(code, result)}" if code in _TRIAL else ""


def _of_heat(code, result, here: str) -> str:
    """Table and cells of what is seen of a heat: its break, or a reading on clean steel."""
    if code != "grind_and_file":
        return f"heats {here} {_BROKEN}"
    again = _temper_again(result)
    return f"tempers {here} {again}" if again else f"heats {here} {_below(result)}"


def _temper_again(result) -> str:
    """The cells of a temper whose coupon is to be read again; "" where it is not about one."""
    told = getattr(result.asked.decision, "contradictions", ())
    drawn = [one for one in told if one.code == "drawn_too_far"]
    apart = [one for one in told if one.code == "temper_read_apart"]
    found = next(iter((*drawn, *(one for one in apart[-1:] if apart_after_last(one.heats)))), None)
    if found is None:
        return ""
    at = found.doubt.where.value
    cell = f"{'' if at is None else f'temperature_c={_as_typed(at)} '}--replace"
    read = [t.hardness for h in found.heats for t in h.tempers if t.temperature_c == at]
    if there := of_place(read[-1], "below"):
        return f"{cell} {hardness_once_more(result.seen, 'hardness_below', there)}"
    return f"{cell} hardness= {hardness_to_fill_in(result.seen, 'hardness_below')}"


def _as_typed(number) -> str:
    """A number as it was typed, with its unit where it had one."""
    return quote(str(getattr(number, "typed", number)))


def _trial(code, result) -> str:
    """Cells of a trial: a tool that is struck is tried by chopping, a knife on rope."""
    struck = result.seen.use in STRUCK
    chop = f"test=chop {to_fill_in('strokes')}"
    return _TRIAL[code].replace("test=rope", chop) if struck else _TRIAL[code]
