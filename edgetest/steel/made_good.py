"""Was a blade's failure, a crack or a coarse break made good by what was done and stood since?"""

from collections.abc import Sequence

from edgetest.steel.alike_heats import (
    PLAINLY_HOTTER_C,
    had_more_heat,
    hotter_by_eye,
    quenched_alike,
)
from edgetest.steel.steel_seen import BLADE_NAME, MEDIA, HeatSeen, SteelSeen, TrialSeen
from edgetest.steel.surely import all_harder, comparable, is_hard, true_readings
from edgetest.steel.tried_blades import GIVEN_WAY, temper_untried, treated, tried_blades

STOOD_SINCE = "It is past: heat-treated otherwise since, the blade stood."
SHARPENED_SINCE = "It is past: the same blade was run again since, and stood."
CHIP_FITS = "It broke fine, so the two fit together: it was tempered too cool for this use."
QUENCHED_SINCE = "It is past: quenched as fast once more, the steel came out as hard."
HOTTER_HARD = "The harder one was the hotter or the longer heat, which explains it."
FINE_SINCE = "It is past: a later heat, hardened otherwise, was not coarse."
COOLER_FINE = (
    "It is past: a cooler heat of the same piece came hard and broke fine, so this heat was too "
    "hot, and the steel is not to blame. Harden as that one."
)
WHOLE_SINCE = "It is past: a fresh one, quenched slower, hardened and did not crack."
LITTLE_COOLER_C = 10.0  # a step that one and the same thermometer tells; our choice


def stood_since(trial: TrialSeen, trials: Sequence[TrialSeen], heats: Sequence[HeatSeen]) -> str:
    """How the blade tried last stood though another trial failed; "" where it did not.

    An edge that rolled or lived short may be a poor edge: sharpened again and run once more, it
    tells. One that chipped or broke is answered by another heat or temper alone.

    Parameters
    ----------
    trial : TrialSeen
        The one that failed.
    trials, heats : sequences
        All of the piece, in the order they were written down.
    """
    blades = tried_blades(trials, heats)
    last = blades[-1] if blades else None
    if last is None or not last.stood or last.at is None:
        return ""
    own = next((one for one in blades if trial in one.trials), None)
    if own is not None and own.stood:
        return SHARPENED_SINCE if trial != own.trials[-1] else ""
    if own is None or own.at is None:
        return ""
    since = (*_stood_later(own, blades), last)
    return next(filter(None, (_answered(own, one, blades, heats) for one in since)), "")


def stood_after(trial: TrialSeen, seen: SteelSeen) -> str:
    """The same of all that was seen: how the piece's blade stood at the last; else ""."""
    like = (trial.piece, trial.carburised)
    trials = [one for one in seen.trials if (one.piece, one.carburised) == like]
    heats = [one for one in seen.heats if (one.piece, one.carburised) == like]
    return stood_since(trial, trials, heats)


def _stood_later(own, blades):
    """Later runs of the same blade that stood, whatever blades were tried after it."""
    later = blades[blades.index(own) + 1 :]
    return [one for one in later if one.stood and one.at and one.at[0] == own.at[0]]


def _answered(failed, last, blades, heats) -> str:
    """What was done between a blade that failed and the last one, which stood; "" for nothing."""
    if failed.at == last.at and failed.gave_out in GIVEN_WAY:
        return SHARPENED_SINCE
    anew = failed.at[0] == last.at[0] and failed.at[1] < last.at[1]
    otherwise = treated(failed, blades, heats) != treated(last, blades, heats)
    return STOOD_SINCE if anew or otherwise else ""


def to_be_tried(heat: HeatSeen, trials: Sequence[TrialSeen], heats: Sequence[HeatSeen]):
    """Whether a blade that failed was tempered again or hardened anew since, and not tried yet."""
    own = [one for one in heats if one.coupon == heat.coupon]
    if any(one.heat > heat.heat for one in own):
        return True
    runs = [one for one in tried_blades(trials, heats) if one.at == (heat.coupon, heat.heat)]
    return bool(runs) and temper_untried(heat, runs)


def fine_since(coarse: HeatSeen, heats: Sequence[HeatSeen]) -> str:
    """That another heat of the piece tells its coarse break as that of one too hot; else "".

    A later one, hardened otherwise, broke and was not coarse; or another coupon that was plainly
    cooler came hard and fine, also before. A blade that is coarse itself is not mended by that.

    Parameters
    ----------
    coarse : HeatSeen
    heats : sequence of HeatSeen
        Those written down, in their order.
    """
    own = [one for one in heats if one.piece == coarse.piece]
    later = own[own.index(coarse) + 1 :] if coarse in own else []
    fine = any(
        one.grain not in (None, "coarse") and one.hardness and _hardened_otherwise(one, coarse)
        for one in later
    )
    if fine:
        return FINE_SINCE
    return COOLER_FINE if not _is_blade(coarse) and _fine_before(coarse, own) else ""


def _fine_before(coarse, own):
    """Whether another coupon, from a plainly cooler heat into as fast a quench, came hard and fine.

    Not where a coupon from such a heat was coarse too.
    """
    cooler = [
        one for one in own
        if one.coupon != coarse.coupon and one.medium == coarse.medium
        and one.carburised == coarse.carburised and _plainly_cooler(one, coarse)
    ]  # fmt: skip
    hard = any(
        one.grain == "fine" and not one.cracked and any(map(is_hard, true_readings(one.hardness)))
        for one in cooler
    )
    return hard and not any(one.grain == "coarse" for one in cooler)


def _plainly_cooler(one, coarse):
    """Whether thermometer, else eye, told a heat as cooler than another."""
    if None not in (one.heat_c, coarse.heat_c):
        return coarse.heat_c - one.heat_c >= PLAINLY_HOTTER_C
    return hotter_by_eye(coarse, one)


def _is_blade(heat):
    return heat.blade is not None or heat.coupon.casefold().startswith(BLADE_NAME)


def _hardened_otherwise(one, coarse):
    """Whether a heat was not quenched alike, or was cycled or plainly cooler: the told cure."""
    cycled = (one.cycles or 0) > (coarse.cycles or 0)
    told = None not in (one.heat_c, coarse.heat_c)
    cooler = told and one.heat_c <= coarse.heat_c - LITTLE_COOLER_C
    return cycled or cooler or not quenched_alike(one, coarse)


def whole_since(cracked: HeatSeen, heats: Sequence[HeatSeen]) -> str:
    """That a later heat of the piece, quenched slower, came out hard and whole; else ""."""
    own = [one for one in heats if one.piece == cracked.piece]
    later = own[own.index(cracked) + 1 :] if cracked in own else []
    whole = any(
        _slower(one, cracked) and not one.cracked and any(map(is_hard, true_readings(one.hardness)))
        for one in later
    )
    return WHOLE_SINCE if whole else ""


def _slower(one: HeatSeen, other: HeatSeen):
    """Whether one heat was quenched in a slower medium than another."""
    if one.medium is None or other.medium is None:
        return False
    return MEDIA.index(one.medium) < MEDIA.index(other.medium)


def chip_fits(trial: TrialSeen, heat: HeatSeen, heats: Sequence[HeatSeen]) -> str:
    """That hard and chipped fit together, where the heat of a trial broke fine; else "".

    A blade that broke across is more than a temper a step too cool.

    Parameters
    ----------
    trial : TrialSeen
    heat : HeatSeen
        The one that it was of.
    heats : sequence of HeatSeen
        Those written down; a coupon of the piece that was quenched alike tells of its grain.
    """
    own = [one for one in heats if one.piece == heat.piece]
    grains = [one.grain for one in own if one == heat or quenched_alike(one, heat)]
    told = [grain for grain in grains if grain is not None]
    return CHIP_FITS if trial.edge == "chipped" and told[-1:] == ["fine"] else ""


def heated_right_since(faster: HeatSeen, slower: HeatSeen, heats: Sequence[HeatSeen]) -> str:
    """How a faster quench that came out softer than a slower one is explained; "" for nothing.

    By more heat of the slower one, or by a later quench of the piece, no slower than the faster
    one, that came out as hard: its first heat was the odd one then.

    Parameters
    ----------
    faster, slower : HeatSeen
    heats : sequence of HeatSeen
        Those written down, in their order.
    """
    later = heats[heats.index(faster) + 1 :]
    own = (one for one in later if one.piece == faster.piece and not _slower(one, faster))
    for one in (each for each in own if each.medium and each.carburised == faster.carburised):
        here, there = comparable(one.hardness, slower.hardness)
        harder = all_harder(*comparable(one.hardness, faster.hardness))
        if harder and here and not all_harder(there, here):
            return QUENCHED_SINCE
    return by_more_heat(faster, slower)


def by_more_heat(soft: HeatSeen, hard: HeatSeen) -> str:
    """How the harder of two heats is explained by more heat; "" where it is not."""
    more = had_more_heat(soft, hard) or hotter_by_eye(hard, soft)
    return HOTTER_HARD if more else ""
