"""Which blades and coupons gave out in a trial? No failure goes untold when a later blade stood."""

from collections.abc import Sequence

from edgetest.steel.contradictions import lives_short
from edgetest.steel.steel_seen import SteelSeen, TrialSeen
from edgetest.steel.tried_blades import BRITTLE, EDGED, GIVEN_WAY, blade_stood, tried_blades

HOW = {"brass_rod": "over the brass rod", "bend": "in the bend"}
DID = {"broke": "broke", "chipped": "chipped", "rolled": "rolled", "took_a_set": "took a set"}


def failures_told(seen: SteelSeen, piece: str | None, said: Sequence[str]) -> str:
    """Every edge of a piece that gave out and is not named yet, in one sentence; "" for none.

    Parameters
    ----------
    seen : SteelSeen
    piece : str or None
    said : sequence of str
        What stands beside it: a failure that is told there is not told again.
    """
    own = [trial for trial in seen.trials if trial.piece == piece]
    found = [*_blades(seen, own, packed=False), *_blades(seen, own, packed=True)]
    found += [_coupon(one) for one in own if one.trial not in EDGED and _failed(one)]
    found += [told for n, one in enumerate(own) if (told := _short_once(one, own[n + 1 :]))]
    text, mended = " ".join(said), _stood_since(seen, own)
    left = [one for one in dict.fromkeys(found) if one not in text]
    told = [f"{one}{mended.get(one, '')}" for one in left]
    return f"Gave out in a trial: {'; '.join(told)}." if told else ""


def _blades(seen, own, *, packed):
    """What each blade did whose edge gave out, as found or packed with carbon."""
    heats = [h for h in seen.heats if h.piece in {t.piece for t in own} and h.carburised == packed]
    trials = [trial for trial in own if trial.carburised == packed]
    named = " (packed with carbon)" * packed
    return [f"{one.words()}{named}" for one in tried_blades(trials, heats) if one.gave_out]


def _stood_since(seen, own):
    """Of a blade that gave out and stood once hardened again, or sharpened again: that it did."""
    heats = [h for h in seen.heats if h.piece in {t.piece for t in own} and not h.carburised]
    blades = tried_blades([trial for trial in own if not trial.carburised], heats)
    since = {one.at[0]: one.at[1] for one in blades if one.at and one.stood}
    return _run_again(blades) | {
        one.words(): f" (the same blade, hardened again as heat {since[one.at[0]]}, stood)"
        for one in blades
        if one.gave_out and one.at and since.get(one.at[0], 0) > one.at[1]
    }


def _run_again(blades):
    """Of a blade that gave out and stood in a later run of the same heat: that it did."""
    return {
        one.words(): " (run again since, the same blade stood)"
        for k, one in enumerate(blades)
        if one.gave_out and one.at and any(b.at == one.at and b.stood for b in blades[k + 1 :])
    }


def _short_once(trial: TrialSeen, later: Sequence[TrialSeen]):
    """That an edge, whole, lived short before it stood in a further run; "" for all others."""
    stood = any(one.heat == trial.heat and blade_stood(one) for one in later)
    if not stood or trial.heat is None or _failed(trial) or not lives_short(trial):
        return ""
    ratio = "" if trial.life_ratio is None else f" ({trial.life_ratio:g} times as long)"
    return (
        f"{trial.heat[0]}, heat {trial.heat[1]}, lived shorter than the known blade{ratio} before "
        "it stood in a further run"
    )


def _failed(trial: TrialSeen):
    return trial.edge in BRITTLE | GIVEN_WAY


def _coupon(trial: TrialSeen):
    """What a coupon, or a blade, did over the rod or in the bend."""
    who = "a coupon" if trial.heat is None else f"{trial.heat[0]}, heat {trial.heat[1]},"
    return f"{who} {DID[trial.edge or 'broke']} {HOW.get(trial.trial, 'there')}"
