"""Is the blur the lens's, a movement's, or the land's own shape; and does it hide the width?

The mean profile and the texture on both sides of the edge are weighed together, as log
likelihoods, each in units of its own scatter.
"""

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.explanations import APERTURES

SOFT_PX = 4.0  # a blur from here on, as wide as the band, is a picture out of focus
PLAIN_SHARE = 0.015  # shared misfit of a soft picture: the lens's aperture, not the land
MOST_MOVED = 0.25  # of the width: a movement across the edge from here on leaves it open
WIDE_APERTURE = 0.6  # of the width: from this radius on the width that is seen is the aperture's
LEAST_EXTRA_PX = 1.5  # a shorter movement, a smaller aperture is any lens's
NEAR = 1.5  # misfit over the least, from where on a movement is none
ALIKE_BINS = 2.0  # neighbouring bins of the profile that count as one
SURE, SURE_PROFILE = 5.0, 40.0  # log likelihoods


def likelier(first, second, bins):
    """Difference of the log likelihoods of the profile, in its own scatter."""
    scale = max(1.0, min(first.chi2, second.chi2))
    return (second.chi2 - first.chi2) * bins / (2 * ALIKE_BINS * scale)


def near(explanation, best):
    """It explains the profile about as well as the best one."""
    return explanation.chi2 < NEAR * best.chi2 + 0.3


def moved_or_unfocused(found, behind, bins, finer):
    """Explanations without the movement, or without the apertures, where one is much likelier.

    A movement leaves detail that an aperture takes away.

    Parameters
    ----------
    found : list of Explanation
    behind : sequence of Explanation
        A narrow land behind a wide aperture.
    bins : int
        Of the mean profile.
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
    gain = _gain_of_movement(moved[0], apertures, bins, finer)
    if abs(gain) < SURE:
        return found
    out = APERTURES if gain > 0 else ("moved",)
    return [e for e in found if e.name not in out]


def _gain_of_movement(moved, apertures, bins, finer):
    """By how much it is likelier than the likeliest aperture."""
    gains = [likelier(moved, aperture, bins) for aperture in apertures]
    close = zip(gains, apertures, strict=True)
    return min(g + finer(moved, e) for g, e in close if g < min(gains) + SURE)


def not_excluded(best, behind, bins, finer):
    """A narrow land behind an aperture wider than itself, where nothing speaks against it.

    Parameters
    ----------
    best : Explanation
    behind, bins, finer
        As for `moved_or_unfocused`.

    Returns
    -------
    Explanation or None
    """
    likeliest = min(behind, key=lambda e: e.chi2, default=None)
    if likeliest is None or likeliest.extra < WIDE_APERTURE * likeliest.width_px:
        return None
    gain = likelier(best, likeliest, bins)
    if gain > SURE_PROFILE or gain + finer(best, likeliest) > -SURE:
        return None
    return likeliest


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
    if profile.behind is not None:
        return out_of_focus(profile.behind.extra / 2)
    best, soft = profile.best, blur > SOFT_PX
    # A land behind a longer movement looks like a wider land behind a shorter one.
    moved = profile.moved if best.name != "moved" and not profile.explained else best
    if _far(moved, ("moved",), MOST_MOVED):
        more = f"(by about {moved.extra:.0f} pixels across the edge)"
        return doubt("motion_blur", more, where=Where(value=float(moved.extra)))
    if _far(best, APERTURES, WIDE_APERTURE):
        return out_of_focus(best.extra / 2)
    if not soft or (best.name == "plain" and shape < PLAIN_SHARE):
        return None
    blunt = best.name == "rounded" and best.blur_px > SOFT_PX
    return out_of_focus(blur) if blunt or not profile.explained else None


def _far(explanation, names, most):
    """One of the names, and it reaches over more than a share of the width."""
    if explanation is None or explanation.name not in names:
        return False
    return explanation.extra > most * explanation.width_px


def out_of_focus(blur):
    """The refusal of a picture that is blurred by so many pixels."""
    return doubt("out_of_focus", f"(blur {blur:.1f} pixels)", where=Where(value=float(blur)))
