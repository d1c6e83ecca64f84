"""What the blades themselves could explain of a ratio of lives: angle, thickness, steel."""

from dataclasses import replace
from math import nan

import numpy as np

from edgetest.doubts import doubt
from edgetest.estimate import plain
from edgetest.study.wear.changed_steps import step_doubts
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.wear.steels_apart import steel_doubts
from edgetest.wear.compare.angle_share import angle_share
from edgetest.wear.compare.covariate import without_covariate
from edgetest.wear.compare.grind_share import grind_share
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
    AngleShare or None, ThicknessShare or None, tuple of GrindShare, list of Doubt
        Angle and thickness are of the pair that leads, the rest of every pair.
    """
    if study is None:
        return None, None, (), []
    angles = angles_of(study, comparison, level=options.level) if angle else None
    thickness = thickness_of(study, comparison, lives, options)
    grinds = grinds_of(study, comparison, options, angle=angle)
    doubts = geometry_doubts(study, comparison, angles, thickness, grinds)
    doubts += [*step_doubts(study, comparison), *steel_doubts(study, comparison, titles_of(study))]
    return angles, thickness, grinds, doubts


def grinds_of(study, comparison, options, *, angle=True):
    """The ratio of every pair with what its own edges' grind may do taken out.

    Parameters
    ----------
    study : Study
    comparison, options, angle
        As for `geometry_of`.

    Returns
    -------
    tuple of GrindShare
        The pair that leads first; none of a pair whose edges are alike, or not noted.
    """
    found, pairs = {}, sorted(comparison.pairs, key=lambda pair: pair.family == "all pairs")
    for pair in (comparison, *pairs):  # those against the reference before the rest, as told
        key = frozenset((pair.first, pair.second))
        if key in found or (pair is not comparison and pair.scope == "blades"):
            continue
        of = replace(comparison, first=pair.first, second=pair.second, ratio=pair.ratio)
        angles = angles_of(study, of, level=options.level) if angle else None
        shares = angles, _thickness_alone(study, of, options)
        factors = [share.factor if share and share.matters else None for share in shares]
        found[key] = grind_share(pair.first, pair.second, pair.ratio, *factors)
    return tuple(share for share in found.values() if share is not None)


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
    share = _thickness_alone(study, comparison, options)
    if share is None:
        return None
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


def _thickness_alone(study, comparison, options):
    """What thickness could do at its most, whatever the blades' own spread of it says."""
    blades = _compared(study, comparison)
    if blades is None or len(_noted(blades, "thickness_behind_edge_mm")) < 2:
        return None
    treatment = [name for name, _ in blades]
    thickness, u = (list(column) for column in zip(*(_thick(b) for _, b in blades), strict=True))
    return thickness_share(
        treatment,
        thickness,
        comparison.first,
        comparison.second,
        thickness_u_mm=u,
        ratio=plain(comparison.ratio.estimate),
        margin=options.margin,
        level=options.level,
    )


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


def _explained(grinds, titles):
    """The doubts that the grind may be all of a difference that was seen, or a part of it."""
    doubts = []
    for code, of in (
        ("geometry_may_explain", [one for one in grinds if one.may_be_all]),
        ("grind_taken_out", [one for one in grinds if not one.may_be_all]),
    ):
        if of:
            named = [_titled(one, titles).summary() for one in of]
            what = dict.fromkeys(part for one in of for part in one.what)
            each = "each difference" if len(of) > 1 else "the difference"
            said = doubt(code, what=" and ".join(sorted(what)), ranges="; ".join(named), each=each)
            doubts.append(said)
    return doubts


def _titled(share, titles):
    """A share with the titles of its heat treatments, where they have any."""
    names = {name: titles.get(getattr(share, name), "") for name in ("first", "second")}
    return replace(share, **{name: title for name, title in names.items() if title})


def geometry_doubts(study, comparison, angles, thickness, grinds=()):
    """What to bear in mind about the edges compared."""
    found, titles = [], titles_of(study)
    for code, share in (("edge_angle_differs", angles), ("thickness_differs", thickness)):
        if share is not None and share.matters:
            found.append(doubt(code, words=_titled(share, titles).summary()))
    found += _explained(grinds, titles)
    return (
        found if _compared(study, comparison) is None else found + _bare(study, comparison, titles)
    )


def _bare(study, comparison, titles):
    """The doubts that an angle or a thickness is noted for no blade of a heat treatment."""
    doubts = []
    records = {blade.id: blade for blade in study.blades}
    blades = [
        (g.treatment, records[b]) for g in comparison.groups for b in g.blades if b in records
    ]
    known = _noted(blades, "thickness_behind_edge_mm")
    angled = _noted(blades, "included_angle_deg")
    every = dict.fromkeys(name for name, _ in blades)
    for code, bare in (
        ("thickness_half_known", [name for name in every if known and name not in known]),
        ("edge_angle_not_noted", [name for name in every if name not in angled]),
    ):
        if bare:
            *before, last = (titles.get(name, name) for name in bare)
            words = f"{', '.join(before)} or {last}" if before else last
            doubts.append(doubt(code, bare=words))
    return doubts
