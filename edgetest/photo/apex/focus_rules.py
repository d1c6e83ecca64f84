"""Is the blur the lens's, a movement's, or the land's own shape; and does it hide the width?

The mean profile and the texture on both sides of the edge are weighed together, as log
likelihoods, each in units of its own scatter.
"""

from dataclasses import dataclass, replace

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.explanations import APERTURES, Explanation

SOFT_PX = 4.0  # a blur from here on, as wide as the band, is a picture out of focus
# A band of less than three blurs: width and lens trade. From here on the lens is out of focus and
# its aperture unknown; measured, such pictures read up to 147 % wide (second world, even).
NARROW_SOFT_PX = 3.0
PLAIN_SHARE = 0.015  # shared misfit of a soft picture: the lens's aperture, not the land
MOST_MOVED = 0.25  # of the width: a movement across the edge from here on leaves it open
WIDE_APERTURE = 0.6  # of the width: from this radius on the width that is seen is the aperture's
LEAST_EXTRA_PX = 1.5  # a shorter movement, a smaller aperture is any lens's
NEAR = 1.5  # misfit over the least, from where on a movement is none
# Log likelihoods. In the second world's even seeds a lens out of focus spoke for a movement by 7.4
# at most, movements of textured pictures of the first world by 4 to 250 in 13 of 17; without any
# texture it is within 2.
SURE_MOVED, UNTOLD = 12.0, 2.5
LIKE_A_BOX = 2.0  # gain over a disc where there is no texture: all that tells is the profile
# From this blur of the single places on a picture is not in focus (2.9 px at most in 450 sharp
# pictures of the second world, even seeds), and the wide reading needs evidence.
IN_FOCUS_PX = 3.0
# Evidence for a land as wide as it looks: likelihood of the detail, and of the profile as far as
# it can be trusted. Out of focus no aperture is quite the true one, and a true one lost to a wrong
# reading by up to 31: its weight is a fifth. Then lands that looked 15 % too wide and more had 4.5
# at most (82 of 400 pictures of 'defocused', even seeds), right ones 6 and more but for 24 of 110.
# In focus the profile tells more than the detail, which a camera may have washed out: where it
# speaks for the wide land it counts threefold. Then right lands had -3.4 and more but for two of
# 700 (-10.5, -78), lands of 2 to 6 px behind apertures of 3 to 10 px on faint bevels -5.7 and less
# (80 pictures of another renderer; one of them had -3).
TRUST_SOFT, SURE_SOFT = 0.2, 5.0
TRUST_SHARP, SURE_SHARP = 3.0, -5.0
SURE_OUT = -20.0  # from here on no wide land is left: the limit would be all of the blur
SURE_PROFILE = 60.0  # profiles that speak against every aperture by so much are not asked further


def likelier(first, second, values):
    """Difference of the log likelihoods of a profile of so many values, in its own scatter."""
    scale = max(1.0, min(first.chi2, second.chi2))
    return (second.chi2 - first.chi2) * values / (2 * scale)


def near(explanation, best):
    """It explains the profile about as well as the best one."""
    return explanation.chi2 < NEAR * best.chi2 + 0.3


def moved_or_unfocused(found, behind, values, finer):
    """Explanations without the movement, or without the apertures.

    A movement leaves detail that an aperture takes away. Where nothing tells, it is the lens:
    pictures are out of focus more often than shaken, and the width is the same as long as
    either goes less far than the land is wide.

    Parameters
    ----------
    found : list of Explanation
    behind : sequence of Explanation
        A narrow land behind a wide aperture.
    values : float
        Independent ones in the mean profile.
    finer : callable
        As for `edgetest.photo.apex.profile_models.explain_profile`.

    Returns
    -------
    list of Explanation
    """
    best = min(found, key=lambda e: e.chi2)
    felt = [e for e in found if e.extra > LEAST_EXTRA_PX]
    moved = [e for e in felt if e.name == "moved"]
    apertures = [*(e for e in felt if e.name in APERTURES), *behind]
    if not (moved and apertures and any(near(e, best) for e in moved + apertures)):
        return found
    return _without_the_unlikely(found, moved[0], apertures, values, finer)


def _without_the_unlikely(found, moved, apertures, values, finer):
    """Movement or apertures left out; both stay where nothing tells, the lens the likelier one."""
    gain = _gain_of_movement(moved, apertures, values, finer)
    if gain > SURE_MOVED or _box_without_texture(moved, apertures, values, finer):
        return [e for e in found if e.name not in APERTURES]
    others = [e for e in found if e.name != "moved"]
    if gain < -UNTOLD:
        return others
    least = min(e.chi2 for e in apertures) + 0.01
    return [*others, replace(moved, chi2=max(moved.chi2, least))]


def _gain_of_movement(moved, apertures, values, finer):
    """By how much it is likelier than the likeliest aperture."""
    gains = [likelier(moved, aperture, values) for aperture in apertures]
    close = zip(gains, apertures, strict=True)
    return min(g + finer(moved, e) for g, e in close if g < min(gains) + SURE_MOVED)


def _box_without_texture(moved, apertures, values, finer):
    """Nothing but the profile can tell, and it is smeared as by a movement, not as by a disc."""
    disc = next((e for e in apertures if e.name == "disc"), None)
    if disc is None or likelier(moved, disc, values) < LIKE_A_BOX:  # none: as small as in focus
        return False
    sharp, washed = replace(moved, name="plain"), replace(disc, extra=moved.width_px / 2)
    return bool(abs(finer(sharp, washed)) < UNTOLD)


@dataclass(frozen=True)
class NarrowerLand:
    """A land narrower than it looks behind an aperture wider than itself.

    `sure` is False where it cannot be told from a land as wide as it looks.
    """

    lens: Explanation
    sure: bool


def narrower_land(best, behind, values, finer, *, soft):
    """A narrow land behind a wide aperture, where it is not less likely than the wide land.

    Parameters
    ----------
    best : Explanation
    behind, values, finer
        As for `moved_or_unfocused`.
    soft : bool
        The single places are blurred by more than a lens in focus does.

    Returns
    -------
    NarrowerLand or None
    """
    wide = [e for e in behind if e.extra >= WIDE_APERTURE * e.width_px]
    gains = [likelier(best, e, values) for e in wide]
    if not gains or min(gains) > SURE_PROFILE:
        return None
    if soft:
        told = [TRUST_SOFT * gain for gain in gains]
    else:
        told = [TRUST_SHARP * gain if gain > 0 else gain for gain in gains]
    evidence = [part + finer(best, e) for part, e in zip(told, wide, strict=True)]
    least = min(evidence)
    if least >= (SURE_SOFT if soft else SURE_SHARP):
        return None
    return NarrowerLand(wide[evidence.index(least)], sure=least < SURE_OUT)


def too_blurred(profile, blur, shape):
    """Reason to refuse a picture whose blur leaves the width open, or None.

    Parameters
    ----------
    profile : ProfileShape or None
    blur : float
        Of the single places, pixels.
    shape : float
        Misfit that all places share.
    """
    if profile is None:
        return None
    if profile.behind is not None and profile.behind.sure:
        return out_of_focus(profile.behind.lens.extra / 2)
    best, soft = profile.best, blur > SOFT_PX
    # A land behind a longer movement looks like a wider land behind a shorter one.
    moved = profile.moved if best.name != "moved" and not profile.explained else best
    if _far(moved, ("moved",), MOST_MOVED):
        more = f"(by about {moved.extra:.0f} pixels across the edge)"
        return doubt("motion_blur", more, where=Where(value=float(moved.extra)))
    if profile.behind is not None:
        return None
    if _far(best, APERTURES, WIDE_APERTURE):
        return out_of_focus(best.extra / 2)
    if not soft or (best.name == "plain" and shape < PLAIN_SHARE) or profile.explained:
        return None
    return out_of_focus(blur)


def _far(explanation, names, most):
    """One of the names, and it reaches over more than a share of the width."""
    if explanation is None or explanation.name not in names:
        return False
    return explanation.extra > most * explanation.width_px


def out_of_focus(blur):
    """The refusal of a picture that is blurred by so many pixels."""
    return doubt("out_of_focus", f"(blur {blur:.1f} pixels)", where=Where(value=float(blur)))
