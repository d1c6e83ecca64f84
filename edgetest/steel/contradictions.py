"""What of the evidence contradicts the physics of steel, and what would mend it?"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.alike_heats import apart_though_alike, as_hard_since, colder_by_far, thicker
from edgetest.steel.bare_heats import degrees_told, if_fahrenheit, typed_bare
from edgetest.steel.instrument_clashes import clashes, left_by
from edgetest.steel.lone_crack import crack_past, crack_told
from edgetest.steel.made_good import (
    by_more_heat,
    chip_fits,
    fine_since,
    heated_right_since,
    stood_after,
)
from edgetest.steel.rule_cures import COATED, COATED_CURE, cure_left
from edgetest.steel.steel_seen import MEDIA, HeatSeen, PieceSeen, SteelSeen, TemperSeen, TrialSeen
from edgetest.steel.surely import (
    all_harder,
    comparable,
    is_hard,
    is_soft,
    low_of,
    of_place,
    surely_harder,
    true_readings,
)
from edgetest.steel.temper import tempering_parameter
from edgetest.steel.tried_blades import suspects, tells_of_edge

HIGH_TEMPER_C = 350.0  # below, silicon alone may keep a steel so hard; from memory
# The hardest that plain and silicon spring steels stay after one hour, HRC (from memory, of
# handbook curves for 0.9 to 1 % carbon and for 2 % silicon; upper edge of both).
KEPT_C = (350.0, 400.0, 500.0, 600.0, 700.0)
KEPT_HRC = (57.0, 53.0, 48.0, 38.0, 28.0)
USUAL_TEMPER_H = 1.0  # where no time is written; common practice
SHORT_LIFE = 0.8  # of the known blade; below it an edge fails early; common practice
TWO_STEELS, SLOW = "two steels", "a quench that was late or slow: one coupon is one steel"
FEW_SPARKS, MANY_SPARKS = ("fewer_than_low", "like_low"), ("like_high", "more_than_high")


@dataclass(frozen=True)
class Contradiction:
    """One physics rule that the evidence breaks, in which piece, coupon and heat."""

    code: str
    piece: str
    doubt: Doubt
    cure: str = ""
    heat: HeatSeen | None = None  # the heat to mend, where it is about one
    sister: str | None = None  # the other piece, where two are held against each other
    heats: tuple[HeatSeen, ...] = ()  # all that it is about
    remark: bool = False  # told, and stops nothing: the reading to go by stands there, or may

    def to_dict(self):
        """Plain values for JSON."""
        where = self.doubt.where.words()
        return {"code": self.code, "text": self.doubt.text, "cure": self.cure, "where": where}


def heat_words(heat: HeatSeen):
    """Piece, coupon and heat as a maker reads them."""
    return f"piece {heat.piece}, coupon {heat.coupon}, heat {heat.heat}"


def contradictions(seen: SteelSeen) -> tuple[Contradiction, ...]:
    """Everything in the evidence that no one steel and no one heat explains.

    Each rule holds whatever the chances are. Readings are brackets; two of them differ only
    where one lies above the other by more than 3 HRC and twice their standard uncertainty
    (see `edgetest.steel.surely`), so what the readings leave open breaks no rule.

    Returns
    -------
    tuple of Contradiction
        In the order of the rules, each place once.
    """
    coated = {piece.id for piece in seen.pieces if piece.coating in COATED}
    return tuple(_with_cure(one, seen, coated) for rule in RULES for one in rule(seen))


def _with_cure(one: Contradiction, seen: SteelSeen, coated):
    """The same with its cure: what is left to do, and nothing that a coating poisons."""
    cure = one.cure or cure_left(one.code, seen, one.piece, one.heats)
    cure = COATED_CURE if one.piece in coated else cure
    told = replace(one.doubt, text=f"{one.doubt.text} {cure}")
    return replace(one, doubt=told, cure=cure)


def _found(code, piece, heat=None, *others, value=None, **words):
    """One broken rule, told of its heat and of those it is held against."""
    at = [heat_words(one) for one in (heat, *others) if one is not None]
    place = " and ".join(dict.fromkeys(at)) or f"piece {piece}"
    told = doubt(code, where=Where(blade=place, value=value), **words)
    about = tuple(one for one in (heat, *others) if one is not None)
    remark = told.gravity != "decides"
    return Contradiction(code, piece, told, heat=heat, heats=about, remark=remark)


def _past(one: Contradiction, why) -> Contradiction:
    """The same as a remark: what was done since made it good; as it was where that is ""."""
    noted = replace(one.doubt, gravity="notes")
    return replace(one, remark=True, cure=why, doubt=noted) if why else one


def _pairs(seen) -> Iterator[tuple[HeatSeen, HeatSeen]]:
    """Two heats of one piece, both carburised or neither."""
    for one, other in combinations(seen.heats, 2):
        if one.piece == other.piece and one.carburised == other.carburised:
            yield one, other


def _by_speed(one: HeatSeen, other: HeatSeen):
    """(slower, faster) of two heats; None where the media are alike or not told."""
    if one.medium is None or other.medium is None or one.medium == other.medium:
        return None
    slower, faster = sorted((one, other), key=lambda heat: MEDIA.index(heat.medium))
    return slower, faster


def _faster_softer(seen):
    for pair in _pairs(seen):
        ordered = _by_speed(*pair)
        if ordered is None or thicker(*ordered[::-1]):
            continue
        slower, faster = ordered
        if all_harder(*comparable(slower.hardness, faster.hardness)):
            media = {"slower": slower.medium, "faster": faster.medium}
            media = {how: medium.replace("_", " ") for how, medium in media.items()}
            found = _found("faster_softer", faster.piece, faster, slower, **media)
            yield _past(found, heated_right_since(faster, slower, seen.heats))


def _tempered_harder(seen):
    for heat in seen.heats:
        for i, temper in enumerate(heat.tempers):
            before = [heat.hardness]
            before += [one.hardness for one in heat.tempers[:i] if _hotter(temper, one)]
            left = [left_by(temper, one) for one in before]
            if any(all_harder(*comparable(temper.hardness, one)) for one in left):
                yield _found("tempered_harder", heat.piece, heat, value=temper.temperature_c)


def _hotter(one: TemperSeen, other: TemperSeen):
    """Whether a temper was surely no cooler than another."""
    if one.temperature_c is None or other.temperature_c is None:
        return False
    return one.temperature_c >= other.temperature_c


def kept_hrc(temper: TemperSeen):
    """The most that plain hardened steel keeps after a temper, HRC; None below a high temper.

    Other times count by the tempering parameter of Hollomon and Jaffe.
    """
    if temper.temperature_c is None or temper.temperature_c < HIGH_TEMPER_C:
        return None
    hours = temper.repeats * (temper.time_min or 60 * USUAL_TEMPER_H) / 60
    hours = max(hours, USUAL_TEMPER_H)  # a short temper is no proof of alloy
    known = [tempering_parameter(at, USUAL_TEMPER_H) for at in KEPT_C]
    warmest = min(temper.temperature_c, KEPT_C[-1])
    return float(np.interp(tempering_parameter(warmest, hours), known, KEPT_HRC))


def _hard_after_high_temper(seen):
    for heat in seen.heats:
        for temper in heat.tempers:
            kept = kept_hrc(temper)
            readings = true_readings(temper.hardness)
            if kept is None or not readings:
                continue
            if all(low_of(one) - (0 if one.by_files else 2 * one.u_hrc) > kept for one in readings):
                words = {"temper": degrees_told(temper.temperature_c), "kept": f"{kept:.0f}"}
                found = _found("hard_after_high_temper", heat.piece, heat, **words)
                yield _asked_in_f(found, temper.temperature_c)


def _asked_in_f(found: Contradiction, temperature_c) -> Contradiction:
    """The same, asking whether °F was meant where the temper was typed as a number alone."""
    if not typed_bare(temperature_c):
        return found
    in_f, mend = if_fahrenheit(temperature_c)
    text = f"{found.doubt.text} But {in_f}: {mend}."
    return replace(found, doubt=replace(found.doubt, text=text))


def _skin_differs(seen):
    read = [(piece.id, None, piece.hardness) for piece in seen.pieces]
    read += [(heat.piece, heat, heat.hardness) for heat in seen.heats]
    read += [(heat.piece, heat, t.hardness) for heat in seen.heats for t in heat.tempers]
    for piece, heat, readings in read:
        skin, below = of_place(readings, "skin"), of_place(readings, "below")
        cased = heat is not None and heat.carburised  # a hard skin over a core is its case
        for top, inner in ((skin, below), (below, skin))[cased:]:
            if all_harder(top, inner):
                how = "harder" if top is skin else "softer"
                found = _found("skin_differs", piece, heat, how=how)
                if top is below:  # the reading to go by stands beside it, whatever it is
                    note = replace(found.doubt, gravity="notes")
                    found = replace(found, remark=True, doubt=note)
                yield found


def differs_within(readings):
    """Whether readings with no place stated, or at one place, surely differ among themselves."""
    loose = [one for one in readings if one.where == "not_stated"]
    kept = loose if len(loose) > 1 else list(readings)
    return any(
        (surely_harder(a, b) or surely_harder(b, a)) and {a.where, b.where} != {"skin", "below"}
        for a, b in combinations(kept, 2)
        if a.by_files == b.by_files  # a tester against files has its own rule
    )


def _one_heat_hard_and_soft(seen):
    for heat in seen.heats:
        if differs_within(heat.hardness):
            yield _found("one_heat_hard_and_soft", heat.piece, heat, suspect=TWO_STEELS)
    for piece in seen.pieces:
        if differs_within(piece.hardness):
            yield _found("one_heat_hard_and_soft", piece.id, suspect=TWO_STEELS)
    for one, other in _pairs(seen):
        if one.medium != other.medium:  # faster and slower, or one that nobody knows
            continue
        for soft, hard in ((one, other), (other, one)):
            apart = all_harder(*comparable(hard.hardness, soft.hardness))
            if apart and not (thicker(soft, hard) or colder_by_far(soft, hard)):
                suspect = SLOW if soft.coupon == hard.coupon else TWO_STEELS
                found = _found("one_heat_hard_and_soft", soft.piece, soft, hard, suspect=suspect)
                yield _past(found, by_more_heat(soft, hard))


def _alike_differ(seen):
    lots = {piece.id: piece.lot for piece in seen.pieces if piece.lot is not None}
    for one, other in combinations(seen.heats, 2):
        if one.piece == other.piece or lots.get(one.piece, 0) != lots.get(other.piece, 1):
            continue
        for hard, soft in apart_though_alike(one, other):
            found = replace(_found("alike_differ", soft.piece, soft, hard), sister=hard.piece)
            yield _past(found, as_hard_since(soft, hard, seen.heats))


def _coarse_and_hard(seen):
    for heat in seen.heats:
        if heat.grain == "coarse" and any(map(is_hard, heat.hardness)):
            yield _past(_found("coarse_and_hard", heat.piece, heat), fine_since(heat, seen.heats))


def _cracked(seen):
    for heat in seen.heats:
        if heat.cracked:
            code, words = crack_told(heat, seen)
            yield _past(_found(code, heat.piece, heat, **words), crack_past(heat, seen))


def hard_inside(readings):
    """Whether the steel itself is hard: what was read below the skin counts before the skin."""
    return any(map(is_hard, true_readings(readings)))


def _heats_of(seen, piece: PieceSeen, *media):
    """Untreated heats of a piece, in some media only where these are named."""
    own = (heat for heat in seen.heats if heat.piece == piece.id and not heat.carburised)
    return [heat for heat in own if not media or heat.medium in media]


def _few_sparks_hard(seen):
    for piece in seen.pieces:
        if piece.sparks not in FEW_SPARKS:
            continue
        hard = [heat for heat in _heats_of(seen, piece) if hard_inside(heat.hardness)]
        if hard or hard_inside(piece.hardness):
            yield _found("few_sparks_hard", piece.id, *hard[:1])


def _many_sparks_soft(seen):
    for piece in seen.pieces:
        if piece.sparks not in MANY_SPARKS:
            continue
        heats = _heats_of(seen, piece)
        if any(any(map(is_hard, heat.hardness)) for heat in heats):
            continue
        for heat in heats:
            fast = heat.medium is not None and heat.medium != "air"
            if fast and any(map(is_soft, true_readings(heat.hardness))):
                yield _found("many_sparks_soft", piece.id, heat)


def _not_magnetic_many_sparks(seen):
    for piece in seen.pieces:
        if piece.magnet == "none" and piece.sparks in MANY_SPARKS:
            yield _found("not_magnetic_many_sparks", piece.id)


def final_readings(heat: HeatSeen):
    """What a blade of a heat was read at in use: temper for use, last temper, as quenched."""
    read = [temper for temper in heat.tempers if temper.hardness]
    chosen = [temper for temper in read if temper.for_use] or read
    return true_readings(chosen[-1].hardness if chosen else heat.hardness)


def lives_short(trial: TrialSeen):
    """Whether an edge gave out early beside the known blade."""
    if trial.trial not in ("rope", "chop") or not tells_of_edge(trial):
        return False
    if trial.life_ratio is not None:
        reach = np.exp(2 * (trial.life_ratio_log_u or 0.0))
        return bool(trial.life_ratio * reach < SHORT_LIFE)
    return trial.result == "worse"


def _hard_short_life(seen):
    for trial in seen.trials:
        own = [h for h in seen.heats if h.piece == trial.piece and h.carburised == trial.carburised]
        if trial.heat is not None:
            own = [heat for heat in own if (heat.coupon, heat.heat) == trial.heat]
        hard = [heat for heat in own if any(map(is_hard, final_readings(heat)))]
        if hard and lives_short(trial):
            found = _found("hard_short_life", trial.piece, hard[-1], **suspects(trial))
            said = stood_after(trial, seen) or chip_fits(trial, hard[-1], seen.heats)
            yield _past(found, said)


def _instruments(seen):
    for code, piece, heats, words in clashes(seen):
        yield _found(code, piece, *heats, **words)


RULES = (
    _faster_softer,
    _tempered_harder,
    _hard_after_high_temper,
    _skin_differs,
    _one_heat_hard_and_soft,
    _alike_differ,
    _coarse_and_hard,
    _cracked,
    _few_sparks_hard,
    _many_sparks_soft,
    _not_magnetic_many_sparks,
    _hard_short_life,
    _instruments,
)
