"""How is what was seen of a steel read out: a piece, a heat, a temper, a trial in a line?"""

import re
from collections.abc import Iterable
from dataclasses import replace

from edgetest.steel.advised_temper import (
    TemperRead,
    chipped_reads,
    hottest_words,
    nearest_reads,
    tempers_read,
    to_take,
)
from edgetest.steel.steel_seen import (
    AS_BOUGHT,
    BLADE_NAME,
    HardnessSeen,
    HeatSeen,
    SteelSeen,
    TemperSeen,
    TrialSeen,
)
from edgetest.steel.tried_blades import no_fault_of_steel, tells_of_edge
from edgetest.study.steel.row_kinds import ratio_words, spaced
from edgetest.study.steel.steel_rows import ONLY_COUPON, CouponTemper, FoundPiece, SteelRows
from edgetest.study.words import listed
from edgetest.units import as_typed, fahrenheit_to_celsius

# Neither what is to be typed, in quotation marks, nor what says its °C already.
_FAHRENHEIT = re.compile(r"(?<![\d.,(\"-])(-?\d+(?:\.\d+)?) °F(?! is -?\d)")
_BARE_F = re.compile(r"(?<=\d)\s*°?F$")  # "430 F" is a temperature as "430 °F" is
NEAR = "Of the tempers read, {told} came nearest to the middle of the"
PLACES = {"skin": "on the skin", "below": "below the skin", "not_stated": ""}


def pieces_in_words(rows: SteelRows, seen: SteelSeen) -> list[tuple[str, str]]:
    """(id, what was seen) of each piece as found."""
    read = {piece.id: hardness_words(piece.hardness) for piece in seen.pieces}
    return [
        (piece.id, "; ".join(filter(None, (_piece(piece), read.get(piece.id, "")))))
        for piece in rows.pieces
    ]


def heats_in_words(seen: SteelSeen) -> list[tuple[str, str]]:
    """(piece, coupon and heat; what was done and came of it) of each heat with its tempers."""
    several = len(seen.pieces) > 1
    return [(heat_name(heat, several=several), heat_line(heat)) for heat in seen.heats]


def trials_in_words(seen: SteelSeen) -> list[tuple[str, str]]:
    """(piece and trial, what it showed) of each trial."""
    several = len(seen.pieces) > 1
    return [(_trial_name(trial, seen, several=several), trial_line(trial)) for trial in seen.trials]


def _trial_name(trial: TrialSeen, seen: SteelSeen, *, several: bool) -> str:
    """What a trial is called: its piece where there are several, and the heat that was tried."""
    if trial.heat is None:
        return f"{trial.piece}, {spaced(trial.trial)}"
    coupon, number = trial.heat
    blades = {heat.blade for heat in seen.heats if heat.piece == trial.piece}
    blade = coupon if coupon in blades else None
    return heat_name(HeatSeen(trial.piece, coupon, number, blade=blade), several=several)


def notes_in_words(rows: SteelRows) -> list[tuple[str, str]]:
    """(what it is of, the note as typed) of pieces, heats and tempers; a trial's is in its line."""
    found = [("Note", rows.note)] if rows.note else []
    found += [(f"Note on {piece.id}", piece.note) for piece in rows.pieces if piece.note]
    several = len(rows.pieces) > 1
    for row in (*rows.heats, *rows.tempers):
        if row.note:
            at = row.temperature_c if isinstance(row, CouponTemper) else None
            coupon = row.blade or row.coupon or ONLY_COUPON
            heat = HeatSeen(row.piece or rows.piece_names[0], coupon, row.heat or 1,
                            blade=row.blade)  # fmt: skip
            found.append((f"Note on {heat_name(heat, several=several)}{_sized(at, 'c', ', ')}",
                          row.note))  # fmt: skip
    return found


def instruments_in_words(rows: SteelRows, seen: SteelSeen) -> list[tuple[str, str]]:
    """(what it was read with, how far it errs) of files and tester, where either was used."""
    read = [one for piece in seen.pieces for one in piece.hardness]
    read += [one for heat in seen.heats for one in heat.hardness]
    read += [one for heat in seen.heats for temper in heat.tempers for one in temper.hardness]
    found = []
    if any(one.by_files for one in read):
        own = "" if "files_hrc" in rows.model_fields_set else ", the usual set: yours is not noted"
        found.append(("Files", f"{listed([f'{hrc:g}' for hrc in rows.files_hrc])} HRC{own}"))
    if not all(one.by_files for one in read):
        own = "" if "tester_u_hrc" in rows.model_fields_set else "; common practice, no source"
        reach = f"± {2 * rows.tester_u_hrc:.2g} HRC (95 %{own})"
        found.append(("Tester", f"a number is taken as {reach}"))
    return [*found, *_oven_in_words(rows, seen)]


def _oven_in_words(rows: SteelRows, seen: SteelSeen) -> list[tuple[str, str]]:
    """By what the degrees of tempers were told, where that was written; none where not."""
    if rows.oven_checked is None or not any(heat.tempers for heat in seen.heats):
        return []
    how = "a thermometer beside the coupon" if rows.oven_checked else "the oven's own dial alone"
    return [("Degrees of the tempers", f"by {how}")]


def in_celsius_too(text: str) -> str:
    """A text with each temperature in °F as typed, and in °C behind it."""
    return _FAHRENHEIT.sub(
        lambda met: f"{met[0]} ({fahrenheit_to_celsius(float(met[1])):.0f} °C)", text
    )


def heat_name(heat: HeatSeen, *, several: bool) -> str:
    """What a heat is called: its piece where there are several, its coupon or blade, its number."""
    made = heat.coupon.casefold().startswith(BLADE_NAME)  # a trial blade is no coupon
    who = heat.blade or (heat.coupon if made else f"coupon {heat.coupon}")
    number = "" if heat.blade and heat.heat == 1 else f", heat {heat.heat}"
    return f"{heat.piece}, {who}{number}" if several else f"{who}{number}"


def hardness_words(readings: tuple[HardnessSeen, ...]) -> str:
    """Readings as they were made: "60 to 65 HRC by files below the skin"."""
    found = []
    for one in readings:
        low, high = one.low_hrc, one.high_hrc
        if low is not None and low == high:
            said = f"{low:.3g} HRC"
        elif low is None:
            said = f"under {high:g} HRC"
        elif high is None:
            said = f"over {low:g} HRC"
        else:
            said = f"{low:g} to {high:g} HRC"
        found.append(f"{said} {PLACES[one.where]}".strip())
    return ", ".join(found)


def heat_line(heat: HeatSeen) -> str:
    """A heat: from where, into what, what came of it, and its tempers."""
    return _joined(
        "packed with carbon" if heat.carburised else "",
        heated_words(heat),
        hardness_words(heat.hardness),
        f"grain {heat.grain}" if heat.grain else "",
        spaced(heat.fracture or ""),
        f"{heat.cracked} of {heat.count} cracked" if heat.cracked is not None else "",
        *(temper_line(temper) for temper in _tempers_once(heat.tempers)),
    )


def _tempers_once(tempers: Iterable[TemperSeen]) -> list[TemperSeen]:
    """Tempers in their order; rows of one and the same, one behind the other, as one."""
    found: list[TemperSeen] = []
    for temper in tempers:
        if found and replace(found[-1], hardness=()) == replace(temper, hardness=()):
            read = dict.fromkeys((*found[-1].hardness, *temper.hardness))
            temper = replace(found.pop(), hardness=tuple(read))
        found.append(temper)
    return found


def heated_words(heat: HeatSeen) -> str:
    """From what heat it was quenched, and into what."""
    cycles = f"{heat.cycles} normalising or reducing heats before"
    parts = [
        _sized(heat.section_mm, "mm", "section "),
        cycles.replace("heats", "heat" if heat.cycles == 1 else "heats") if heat.cycles else "",
        _sized(heat.heat_c, "c"),
        spaced(heat.colour or ""),
        f"the magnet {spaced(heat.magnet)}" if heat.magnet else "",
        _sized(heat.soak_min, "min", "soaked "),
        _quenched(heat),
    ]
    return ", ".join(part for part in parts if part)


def _quenched(heat: HeatSeen) -> str:
    """Into what it was quenched, and by whom where that was not the maker."""
    if heat.medium == AS_BOUGHT:
        return "hardened before you had it"
    at = _sized(heat.medium_c, "c", " at ")
    return f"into {spaced(heat.medium)}{at}" if heat.medium else "quench not told"


def _sized(number: float | None, unit: str, before: str = "") -> str:
    """A size as typed with a word before it; nothing where it is not known."""
    if number is None:
        return ""
    return f"{before}{_BARE_F.sub(' °F', as_typed(number, unit))}"


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def temper_line(temper: TemperSeen) -> str:
    """A temper and the hardness after it."""
    times = f"{temper.repeats} × " if temper.repeats > 1 else ""
    at = _sized(temper.temperature_c, "c") or "not told"
    long = _sized(temper.time_min, "min", ", ")
    read = f": {hardness_words(temper.hardness)}" if temper.hardness else ""
    return f"temper {times}{at}{long}{' (for use)' * temper.for_use}{read}"


def nearest_temper(
    heats: Iterable[HeatSeen], wanted_hrc: tuple[float, float], *, take: bool = False, trials=()
) -> str:
    """Which of the tempers read came nearest to the hardness wanted; "" where none came into it.

    Where one was written down as that for use and reads beside what is wanted, that is said too.

    Parameters
    ----------
    heats : iterable of HeatSeen
    wanted_hrc : (float, float)
    take : bool
        Whether the one to take is named, with what it rests on.
    trials : sequence of TrialSeen
        Of the piece: no temper is named that left a coupon too soft in one of them.
    """
    heats = tuple(heats)
    low, high = wanted_hrc
    near = nearest_reads(heats, wanted_hrc, trials)
    if not near:
        return ""
    once = {(_degrees(one), _hrc(one)): f"{_at(one)} ({_hrc(one)})" for one in reversed(near)}
    found = f"{NEAR.format(told=listed([*once.values()][::-1]))} {low:g} to {high:g} HRC wanted."
    for one in tempers_read(heats):
        as_near = _hrc(one) in map(_hrc, near)  # then no other temper reads better
        if one.temper.for_use and not as_near and (one.low_hrc < low or one.high_hrc > high):
            partly = "partly " * (one.low_hrc <= high and one.high_hrc >= low)
            read = f"read {_hrc(one)} of {heat_name(one.heat, several=False)}"
            found += f" The one for use, {_at(one)}, {read}: {partly}beside it."
    found += _left_aside(chipped_reads(heats, trials))
    return f"{found} {_taken(near)}" if take else found


def _left_aside(chipped: tuple[TemperRead, ...]) -> str:
    """The hottest temper that is not weighed, as the edge chipped at it and stood hotter."""
    if not chipped:
        return ""
    most = max(chipped, key=lambda one: one.temper.temperature_c or 0.0)
    return (
        f" Left aside: {_at(most)} and cooler of {heat_name(most.heat, several=False)}, whose edge "
        "chipped or broke there and stood after a hotter temper."
    )


def _taken(near: tuple[TemperRead, ...]) -> str:
    """The temper to take, and on which reading that rests."""
    best = to_take(near)
    if best is None:
        return ""
    where = heat_name(best.heat, several=False)
    why = hottest_words(_degrees(best)) if len(set(map(_degrees, near))) > 1 else ""
    alike = (one for one in near if one.heat != best.heat and _degrees(one) == _degrees(best))
    told = (f", and {_hrc(one)} of {heat_name(one.heat, several=False)}" for one in alike)
    also = "".join(dict.fromkeys(told))
    return f"Take {_at(best)}: that rests on {_hrc(best)} read of {where}{also}{why}."


def _degrees(one: TemperRead) -> int:
    """The whole degrees that a temper is told apart by: no oven holds closer."""
    return round(one.temper.temperature_c or 0.0)


def _at(one: TemperRead) -> str:
    return _sized(one.temper.temperature_c, "c")


def _hrc(one: TemperRead) -> str:
    low, high = one.low_hrc, one.high_hrc
    return f"{low:g} HRC" if low == high else f"{low:g} to {high:g} HRC"


def trial_line(trial: TrialSeen) -> str:
    """What a trial beside the known blade showed."""
    lasted = ""
    if trial.life_ratio is not None:
        ratio = trial.ratio_typed or ratio_words(trial.life_ratio, trial.life_ratio_log_u)
        open_ = ", how sure not said" if trial.life_ratio_log_u is None else ""
        lasted = f"lasted {ratio} of the known blade's life{open_}"
    return _joined(
        spaced(trial.trial) if trial.heat else "",
        "packed with carbon" if trial.carburised else "",
        spaced(trial.result or ""),
        _edge(trial),
        lasted,
        f"beside {trial.beside}" if trial.beside else "",
        _strokes(trial),
        f"tempered at {_sized(trial.temper_c, 'c')}" if trial.temper_c is not None else "",
        f"made for another use ({spaced(trial.made_for)})" if trial.made_for else "",
        trial.day,
        trial.note,
    )


def _edge(trial: TrialSeen) -> str:
    """What the edge did, and on what where that did it."""
    if not trial.edge and not trial.poor_edge:
        return ""
    aside = no_fault_of_steel(trial) and not tells_of_edge(trial)
    return "".join((
        f"edge {spaced(trial.edge)}" if trial.edge else "edge",
        f" on {trial.hit}" if trial.hit else "",
        f"{', ' * bool(trial.edge) or ' '}badly sharpened ({trial.poor_edge})"
        * bool(trial.poor_edge),
        ", so it counts neither way" if aside else "",
    ))  # fmt: skip


def _strokes(trial: TrialSeen) -> str:
    """How much work a chop was, and that it was too little where it was."""
    if trial.trial != "chop" or (trial.strokes is None and trial.life_ratio is not None):
        return ""
    if trial.strokes is None:
        return "strokes not noted"
    few = "" if no_fault_of_steel(trial) or tells_of_edge(trial) else ": too few to count"
    return f"{trial.strokes} stroke{'s' * (trial.strokes != 1)}{few}"


def _blades(many: float | None) -> str:
    """How many blades it would make; nothing where that is not known."""
    return "" if many is None else f"for {many:g} blade{'s' * (many != 1)}"


def _piece(piece: FoundPiece) -> str:
    """What is known of a piece before any work on it."""
    return _joined(
        piece.form,
        spaced(piece.origin) if piece.origin != "unknown" else "",
        piece.source,
        f"lot {piece.lot}" if piece.lot else "",
        f"{_sized(piece.thickness_mm, 'mm')} thick" if piece.thickness_mm is not None else "",
        _blades(piece.makes_blades),
        f"coating {spaced(piece.coating)}" if piece.coating else "coating not looked at",
        f"lead {spaced(piece.lead)}" if piece.lead else "",
        "closed hollow" if piece.closed_hollow else "",
        "loaded spring" if piece.loaded_spring else "",
        f"magnet {piece.magnet}" if piece.magnet else "",
        f"sparks {spaced(piece.sparks)}" if piece.sparks else "",
        f"stream {spaced(piece.stream)}" if piece.stream else "",
        f"forging: {spaced(piece.forging)}" if piece.forging else "",
        f"break {spaced(piece.fracture)}" if piece.fracture else "",
        f"{piece.carbon_pct:g} % carbon by analysis" if piece.carbon_pct is not None else "",
    )
