"""Does a new picture show the same stretch of edge as the last one, and how far is it shifted?

The new picture's place on the last is sought by what changes along the edge: the grind marks of
the bevels, which stay while the land wears. It is not fitted further: a land that has grown
would draw the fit aside (by up to 8 px in the pictures of tests/benchmarks/pictures).
"""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.estimate import plain
from edgetest.photo.frame_laying import CLEAR, ENOUGH, SMALLEST_PX, TURNS_DEG
from edgetest.photo.frame_search import best_place, frame_of
from edgetest.photo.linear_light import grey_of

# The best other place over the best. Of 30 pairs of a land worn wider, in the even half of
# tests/benchmarks/pictures, the one that was laid wrongly had 0.59, 25 right ones up to 0.55.
WORN_RIVAL = 0.55
MOST_SHIFT = 0.15  # of a side: the stretch that both pictures show is then 85 % of it


@dataclass(frozen=True)
class PlaceAgain:
    """Where the middle of the last picture lies in the new one.

    Attributes
    ----------
    right_px, down_px : float or None
        From the new picture's middle; None, as the others, where it cannot be told.
    step_px : float or None
        How closely that was looked for.
    common : float or None
        Share of the new picture that shows what the last one showed.
    um_per_px : float or None
        Scale, where it is known.
    """

    right_px: float | None = None
    down_px: float | None = None
    step_px: float | None = None
    common: float | None = None
    um_per_px: float | None = None
    doubts: tuple[Doubt, ...] = ()

    @property
    def found(self):
        """Whether the shift is known."""
        return self.right_px is not None

    def to_dict(self):
        """Plain values for JSON; shifts in µm too where the scale is known."""
        names = ("right_px", "down_px", "step_px", "common", "um_per_px")
        numbers = {name: plain(getattr(self, name)) for name in names}
        known = self.found and self.um_per_px is not None
        for way in ("right", "down"):
            shift = getattr(self, f"{way}_px")
            numbers[f"{way}_um"] = plain(shift * self.um_per_px) if known else None
        return {**numbers, **told(self.doubts)}

    def summary(self):
        """The shift as a person reads it."""
        right, down, step = self.right_px, self.down_px, self.step_px
        if right is None or down is None or step is None:
            return self.doubts[0].text
        ways = [
            self._way(shift, *words)
            for shift, words in (
                (right, ("right", "left")),
                (down, ("down", "up")),
            )
            if abs(shift) > step
        ]
        seen = f"{self.common:.0%} of the new picture shows it"
        if not ways:
            return f"The same place as in the last picture, to {step:.0f} px; {seen}."
        return f"The last picture's place lies {' and '.join(ways)} in the new one; {seen}."

    def _way(self, shift, onward, backward):
        word = onward if shift > 0 else backward
        in_um = f" ({abs(shift) * self.um_per_px:.3g} µm)" if self.um_per_px else ""
        return f"{abs(shift):.0f} px{in_um} {word}"


def place_again(last, new, um_per_px=None):
    """How far a new picture is shifted against the last one of the same place.

    Parameters
    ----------
    last, new : Light
        Of one magnification.
    um_per_px : float, optional
        Scale of both.

    Returns
    -------
    PlaceAgain
        Where the pictures do not fit, or in several places, nothing but the doubt that says so.

    Raises
    ------
    UnusableInput
        If a picture is an array, which does not say on which curve its values are stored.
    """
    first, second = grey_of(last), grey_of(new)
    if first.shape != second.shape:
        return PlaceAgain(um_per_px=um_per_px, doubts=(doubt("place_size"),))
    if min(first.shape) < SMALLEST_PX:
        return PlaceAgain(um_per_px=um_per_px, doubts=(doubt("place_untold"),))
    base = frame_of(first)
    place = _sought(base.detail, frame_of(second, base).detail)
    if place.clear < CLEAR or place.rival > WORN_RIVAL:
        return PlaceAgain(um_per_px=um_per_px, doubts=(doubt("place_untold"),))
    step = base.detail_factor
    down, right = (-step * place.corner).tolist()
    common = float(np.prod(np.maximum(0, 1 - np.abs([down, right]) / first.shape)))
    moved = max(abs(down) / first.shape[0], abs(right) / first.shape[1]) > MOST_SHIFT
    doubts = (doubt("place_shifted", where=Where(value=common), common=common),) if moved else ()
    return PlaceAgain(right, down, float(step), common, um_per_px, doubts)


def _sought(last, new):
    """Best place of the new picture's detail on the last one's, turned by a little if need be."""
    found = best_place(last, new, TURNS_DEG[0])
    for turn in TURNS_DEG[1:]:
        if found.likeness > ENOUGH and found.clear > CLEAR:
            break
        tried = best_place(last, new, turn)
        found = tried if tried.clear > found.clear else found
    return found
