"""From a study's chop log to the figures of its sheet: chops, depth, damage, swing, trials."""

from dataclasses import replace

import numpy as np

from edgetest.chop.chop_report import chop_report
from edgetest.chop.depth import LEAST_DEPTHS
from edgetest.chop.predict import what_if
from edgetest.chop.tool_outline import thinned
from edgetest.chop.wood import wood_of_species
from edgetest.doubts import Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.study.chop.chop_growth import growths
from edgetest.study.chop.chop_looks import SOURCES, inspections, looks
from edgetest.study.chop.chop_result import Change, ChopResult
from edgetest.study.chop.chop_rows import (
    billets,
    measured_chops,
    severings,
    single_chops,
    trials,
    turns,
)
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.words import were

SEED = 20261125  # of the Monte Carlo of the swing: the same study gives the same figures


def analyse_chops(
    source,
    *,
    against=None,
    damage_from="photographs",
    chip_limit_um=None,
    reference_wood=None,
    thinner=None,
    level=0.95,
):
    """Every figure of a chop test.

    Parameters
    ----------
    source : Source
        From `edgetest.study.sources.open_chops`.
    against : str, optional
        Blade that the others are compared with; default: the study's reference blade, else
        its control, else the first.
    damage_from : {"photographs", "log"}
        Which chips and rolls count where both were taken.
    chip_limit_um : float, optional
        Depth above which a chip counts as damage.
    reference_wood : str, optional
        Species, at 12 % moisture, that chops are stated in; default coast Douglas-fir.
    thinner : mapping of str to (float, float), optional
        Tapers to try, by blade: from where and how thick at the tip, mm; default: those of
        study.toml.
    level : float
        Coverage of the intervals.

    Returns
    -------
    ChopResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, or hold nothing to report.
    """
    if damage_from not in SOURCES:
        raise UnusableInput(f'"{damage_from}" is not known', "damage from", " or ".join(SOURCES))
    log, study = source.chops.require(), source.study
    against = _against(against, source)
    treatments = _treatments(study, log)
    pieces, chops = severings(log), measured_chops(log)
    found = looks(log, study, source.photos_folder, damage_from=damage_from)
    grown = growths(found)
    severed, codes = billets(pieces, treatments)
    if len([chop for chop in chops if not chop.through]) < LEAST_DEPTHS:
        codes += ("few_depths_in_all",) if chops else ()
        depths = None
    else:
        depths = single_chops(chops, treatments)
    shapes, handling = (shapes_of(study), handling_of(study)) if study else ({}, {})
    outlines = {
        name: outline_of(shape, study, f"study.toml, outline.{name}")
        for name, shape in shapes.items()
    }
    holds = {
        name: record.hold(float(outlines[name].x_mm[-1]) if name in outlines else None)
        for name, record in handling.items()
    }
    wood = {}
    if reference_wood is not None:
        named = wood_of_species(reference_wood, moisture_pct=12.0)
        hardness = named.side_hardness_n.value
        words = f"{named.name} at 12 % moisture ({hardness:.0f} N side hardness)"
        wood = {"reference_hardness_n": hardness, "reference_wood": words}
    swings = {name: record.swing_test() for name, record in handling.items()}
    report = chop_report(
        rng=np.random.default_rng(SEED),
        billets=severed,
        single_chops=depths,
        inspections=inspections(found, grown, depth_limit_um=chip_limit_um),
        swing_tests={name: test for name, test in swings.items() if test is not None},
        outlines={name: shape for name, shape in outlines.items() if name in holds},
        holds=holds,
        trials=trials(log),
        against=against,
        level=level,
        **wood,
    )
    looked = {one.kind for one in grown}  # also where the length of edge is not known
    report = replace(report, not_tested=tuple(t for t in report.not_tested if t not in looked))
    design = turns(pieces)
    doubts = [doubt(code) for code in codes]
    doubts += _doubts(source, found, grown, outlines, holds, design)
    return ChopResult(
        title=source.title,
        study=study,
        protocol=source.protocol,
        log=log,
        report=report,
        pieces=pieces,
        chops=chops,
        looks=found,
        growth=grown,
        handling=handling,
        outlines=outlines,
        changes=_changes(thinner, shapes, outlines, holds, level),
        limit=tuple(_limits(study, found, grown)),
        design=design,
        doubts=tuple(dict.fromkeys([*doubts, *report.doubts, *_doubts_of_woods(pieces)])),
    )


def try_thinner(result, blade, from_mm, tip_mm, *, level=0.95):
    """What a distal taper would do to one blade's balance, swing and ringing.

    Returns
    -------
    Change

    Raises
    ------
    UnusableInput
        If the blade has no shape with grip and strike point, or the taper is off the blade.
    """
    if blade not in result.outlines or blade not in result.handling:
        raise UnusableInput(
            f"{blade} has no shape with grip and strike point",
            where="study.toml",
            mend=f"write [outline.{blade}] and [handling.{blade}]",
        )
    shape = result.outlines[blade]
    hold = result.handling[blade].hold(float(shape.x_mm[-1]))
    return _change(blade, shape, hold, from_mm, tip_mm, level)


def _changes(thinner, shapes, outlines, holds, level):
    """The tapers that the study, or the caller, thinks of."""
    wanted = {
        name: (shape.thinner.from_mm, shape.thinner.tip_mm)
        for name, shape in shapes.items()
        if shape.thinner is not None
    } | dict(thinner or {})
    for name in wanted:
        if name not in outlines or name not in holds:
            what = f"{name} has no shape with grip and strike point"
            mend = f"write [outline.{name}] and [handling.{name}]"
            raise UnusableInput(what, "study.toml", mend)
    return tuple(
        _change(name, outlines[name], holds[name], *taper, level) for name, taper in wanted.items()
    )


def _change(blade, shape, hold, from_mm, tip_mm, level):
    changed = thinned(shape, from_mm, tip_mm)
    before, after, compared = what_if(
        shape,
        changed,
        rng=np.random.default_rng(SEED),
        grip_mm=hold.grip_mm,
        strike_mm=hold.strike_mm,
        handle_front_mm=hold.handle_front_mm,
        level=level,
    )
    return Change(blade, float(from_mm), float(tip_mm), before, after, compared, changed)


def _against(against, source):
    """The blade that the others are held against; an unknown one is refused."""
    known = source.chops.blades()
    if against is not None:
        if against not in known:
            mend = f"known: {', '.join(known) or 'none'}"
            raise UnusableInput(f'"{against}" is not in the chop log', "against", mend)
        return against
    study = source.study
    named = (study.reference, study.control) if study else ()
    return next((name for name in named if name in known), None)


def _treatments(study, log):
    """Heat treatment of each blade of the log, where there are two or more to compare."""
    if study is None:
        return {}
    found = {name: study.heat_treatment_of(name) for name in log.blades()}
    tested = {found[name] for name in found if name != study.control}
    return found if len(tested) > 1 and all(found.values()) else {}


def _doubts(source, found, grown, outlines, holds, design):
    """Doubts about the study's own data."""
    if source.study is not None and source.study.invented:
        yield doubt("invented")
    if design == "not_in_turn":
        yield doubt("not_in_turn")
    yield from _look_doubts(found, grown)
    for name in outlines:
        if name not in holds:
            yield doubt("no_grip", blade=name, where=Where(blade=name))
    excluded = sum(bool(row.exclude) for row in source.chops.rows)
    if excluded:
        yield doubt("excluded_rows", readings=were(excluded, "row"))


def _doubts_of_woods(pieces):
    """What is assumed of each piece's wood."""
    for piece in pieces:
        yield from placed(piece.wood.doubts, row=piece.row, blade=piece.blade) if piece.wood else ()


def _look_doubts(found, grown):
    """Doubts about the looks at the edges: photographs, counts, and what went before."""
    refused = [photo.photo for look in found for photo in look.photos if not photo.measured]
    if refused:
        yield doubt("side_view_refused", count=len(refused), where=Where(value=", ".join(refused)))
    missing = [name for look in found for name in look.missing]
    if missing:
        yield doubt("side_view_missing", count=len(missing), where=Where(value=", ".join(missing)))
    both = [x for x in found if x.measured and x.counted["chips"] is not None and x.source]
    if both:
        used = dict.fromkeys(f"the {look.source}" for look in both)
        yield doubt("damage_from_both", used=" and ".join(used))
    unseen = dict.fromkeys(one.blade for one in grown if one.by == "no_look_before")
    yield from (doubt("no_look_before", where=Where(blade=name)) for name in unseen)
    unknown = [x for x in found if x.source == "log" and x.edge_length_mm is None]
    for look in unknown:
        yield doubt("edge_length_missing", where=Where(blade=look.blade, row=look.rows[0]))


def _limits(study, found, grown):
    """The protocol's limit on chips, a verdict for each blade looked at after the test.

    Chips that were there before the test do not count; the largest chip is of the whole edge.
    """
    rule = study.rules.limit if study else None
    if rule is None or rule.reading not in ("chips_count", "largest_chip_mm"):
        return
    limit = float(study.limit_value)
    for look in found:
        if look.when != "after" or look.source is None:
            continue
        new = next((x.new for x in grown if (x.blade, x.kind) == (look.blade, "chips")), None)
        met, words = (new, f"new chip{'' if new == 1 else 's'}")
        if rule.reading == "largest_chip_mm":
            lengths = [chip["length_um"] / 1000 for chip in look.used("chips")]
            by_photo = look.source == "photographs"
            met = max(lengths, default=0.0) if by_photo else look.largest_chip_mm
            words = "mm, the largest chip"
        if met is None:
            continue
        verdict = "reached" if met >= limit else "not reached"
        yield {
            "blade": look.blade,
            "reading": rule.reading,
            "value": float(met),
            "limit": limit,
            "verdict": verdict.replace(" ", "_"),
            "text": f"{met:.3g} {words}; the protocol's limit of {limit:g} is {verdict}",
        }
