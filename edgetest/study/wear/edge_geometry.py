"""What the edges' own geometry could explain of a ratio of lives: angle, thickness behind."""

from dataclasses import replace
from math import nan

import numpy as np

from edgetest.doubts import doubt
from edgetest.estimate import plain
from edgetest.study.wear.changed_steps import step_doubts
from edgetest.study.wear.group_titles import titles_of
from edgetest.wear.compare.angle_share import angle_share
from edgetest.wear.compare.covariate import without_covariate
from edgetest.wear.compare.thickness_share import thickness_share


def edge_angle(blade):
    """Included angle and its standard uncertainty, degrees; nan where no angle is noted."""
    sides = 1 if blade.angle_per_side_deg is None else 2
    whole = blade.included_angle_deg
    return (nan, nan) if whole is None else (whole, sides * (blade.angle_u_deg or 0.0))


def geometry_of(study, comparison, lives, options, *, angle=True):
    """What the edges' angles and thicknesses could explain, and what to bear in mind.

    Parameters
    ----------
    study : Study or None
    comparison, lives, options
        As for `thickness_of`.
    angle : bool
        Whether the angle is asked after; the worn area has it in it already.

    Returns
    -------
    AngleShare or None, ThicknessShare or None, list of Doubt
    """
    if study is None:
        return None, None, []
    angles = angles_of(study, comparison, level=options.level) if angle else None
    thickness = thickness_of(study, comparison, lives, options)
    doubts = geometry_doubts(study, comparison, angles, thickness)
    return angles, thickness, [*doubts, *step_doubts(study, comparison)]


def angles_of(study, comparison, *, level=0.95):
    """How much of the ratio the edge angles alone could explain.

    Parameters
    ----------
    study : Study
    comparison : Comparison
        Of a reading that is not the worn area, which has the angle in it already.

    Returns
    -------
    AngleShare or None
        None where no angle is noted for any blade of one of the two.
    """
    blades = _compared(study, comparison)
    if blades is None or len(_noted(blades, "included_angle_deg")) < 2:
        return None
    angle, u = zip(*(edge_angle(blade) for _, blade in blades), strict=True)
    return angle_share(
        [treatment for treatment, _ in blades],
        angle,
        comparison.first,
        comparison.second,
        angle_u_deg=u,
        ratio=plain(comparison.ratio.estimate),
        ratio_ends=(comparison.ratio.low, comparison.ratio.high),
        level=level,
    )


def thickness_of(study, comparison, lives, options):
    """How much of the ratio a differing thickness behind the edge could explain.

    Parameters
    ----------
    study : Study
    comparison : Comparison
    lives : BladeLives
        The lives compared.
    options : ComparisonOptions
        By which they were compared.

    Returns
    -------
    ThicknessShare or None
        None where no thickness is known in one of the two heat treatments.
    """
    blades = _compared(study, comparison)
    if blades is None or len(_noted(blades, "thickness_behind_edge_mm")) < 2:
        return None
    treatment = [name for name, _ in blades]
    thickness, u = (list(column) for column in zip(*(_thick(b) for _, b in blades), strict=True))
    share = thickness_share(
        treatment,
        thickness,
        comparison.first,
        comparison.second,
        thickness_u_mm=u,
        ratio=plain(comparison.ratio.estimate),
        margin=options.margin,
        level=options.level,
    )
    mm, u_mm = np.array([_thick(study.blade(name)) for name in lives.blade]).T
    lives = replace(lives, covariate=np.log(mm), covariate_u=u_mm / mm)
    adjusted = without_covariate(
        lives,
        comparison.first,
        comparison.second,
        control=options.control if options.control in lives.blade else None,
        level=options.level,
    )
    return replace(share, adjusted=adjusted)


def _compared(study, comparison):
    """Heat treatment and record of each blade of the two; None where one has none known."""
    known = {blade.id: blade for blade in study.blades}
    groups = [g for g in comparison.groups if g.treatment in (comparison.first, comparison.second)]
    found = [(g.treatment, known[b]) for g in groups for b in g.blades if b in known]
    return found if len({treatment for treatment, _ in found}) == len(groups) else None


def _noted(blades, fact):
    """The heat treatments with a blade of which a fact is noted."""
    return {name for name, blade in blades if getattr(blade, fact) is not None}


def _thick(blade):
    """Thickness behind the edge and its standard uncertainty, mm; nan where unknown."""
    mm = blade.thickness_behind_edge_mm
    return (nan, nan) if mm is None else (mm, blade.thickness_behind_edge_u_mm or 0.0)


def _explained(comparison, angles, thickness, titles):
    """The doubt that what the edges' geometry may do is all of a difference that was seen."""
    low, high, what = comparison.ratio.low, comparison.ratio.high, []
    if low <= 1 <= high:
        return []
    longer, shorter = comparison.second, comparison.first
    turned = high < 1  # as the answer says it, the longer one is above the other
    if angles is not None and angles.matters:
        low, high, what = low / angles.factor.high, high / angles.factor.low, ["angle"]
    if thickness is not None and thickness.matters:  # it may also do nothing
        factor = thickness.factor
        low, high = low / max(1.0, factor.high), high / min(1.0, factor.low)
        what = [*what, "thickness behind the edge"]
    if not what or not low <= 1 <= high:
        return []
    if turned:
        longer, shorter, low, high = shorter, longer, 1 / high, 1 / low
    said = doubt(
        "geometry_may_explain", what=" and ".join(what), low=f"{low:.2f}", high=f"{high:.2f}",
        longer=titles.get(longer, longer), shorter=titles.get(shorter, shorter),
    )  # fmt: skip
    return [said]


def geometry_doubts(study, comparison, angles, thickness):
    """What to bear in mind about the edges compared."""
    found, titles = [], titles_of(study)
    for code, share in (("edge_angle_differs", angles), ("thickness_differs", thickness)):
        if share is not None and share.matters:
            names = {name: titles.get(getattr(share, name), "") for name in ("first", "second")}
            named = replace(share, **{name: title for name, title in names.items() if title})
            found.append(doubt(code, words=named.summary()))
    found += _explained(comparison, angles, thickness, titles)
    blades = _compared(study, comparison) or ()
    both = (comparison.first, comparison.second)
    known = _noted(blades, "thickness_behind_edge_mm")
    if len(known) == 1:
        (bare,) = set(both) - known
        found.append(doubt("thickness_half_known", bare=titles.get(bare, bare)))
    bare = [name for name in both if blades and name not in _noted(blades, "included_angle_deg")]
    if bare:
        words = " and of ".join(titles.get(name, name) for name in bare)
        found.append(doubt("edge_angle_not_noted", bare=words))
    return found
