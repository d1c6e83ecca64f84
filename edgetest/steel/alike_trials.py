"""How many blades treated as the one that stood gave out, and what does that leave to do?"""

from collections.abc import Sequence

from edgetest.steel.gave_out import last_blade, tried_of
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.tried_blades import GIVEN_WAY, TriedBlade, treated


def as_many_failed(at: Situation):
    """Whether as many trials of one heat treatment gave out as stood: one more has to tell."""
    stood, failed = alike_trials(at)
    return 0 < stood <= failed


def alike_trials(at: Situation):
    """How many blades treated as the last that stood did so, and how many gave out."""
    return alike_of(tried_of(at), at.heats)


def alike_of(blades: Sequence[TriedBlade], heats: Sequence[HeatSeen]):
    """The same of blades that were tried, in their order, and the heats of their piece."""
    stood = [one for one in blades if one.stood]
    if not stood:
        return 0, 0
    like = treated(stood[-1], blades, heats)
    failed = [one for one in blades if one.gave_out and _as_like(heats, blades, one, like)]
    return len([one for one in stood if like == treated(one, blades, heats)]), len(failed)


def one_more_words(at: Situation):
    """Why one more blade has to tell, where as many gave out as stood."""
    stood, failed = alike_trials(at)
    last = last_blade(at)
    place = None if last is None else last.at
    runs = [one for one in tried_of(at) if place is not None and one.at == place]
    if stood == failed == 1 and place and any(one.gave_out for one in runs):
        return (
            f"{place[0]} gave out in one run and stood in a later one: one blade does not tell "
            "which holds. Make one more, treated as it was when it stood. Where you saw before "
            "that run that its edge was badly sharpened, write what as poor_edge of the run that "
            "gave out: it then counts neither way."
        )
    return (
        f"Of {stood + failed} trials treated alike, {failed} gave out: make one more, treated as "
        "the one that stood."
    )


def _as_like(heats, blades, failed, like):
    """Whether a failure speaks of a treatment; a softer temper is no cure of an edge too soft."""
    had = treated(failed, blades, heats)
    if failed.gave_out not in GIVEN_WAY or None in (had, like) or None in (had[-1], like[-1]):
        return had == like
    return had[:-1] == like[:-1] and had[-1] <= like[-1]
