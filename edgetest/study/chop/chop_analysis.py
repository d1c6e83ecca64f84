"""From a study's chop log to the figures of its sheet: chops, depth, damage, swing, trials."""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.chop.as_chopped import as_chopped
from edgetest.chop.chop_report import TRIALS, ChopTest, chop_report
from edgetest.chop.counts import DOUGLAS_FIR, ReferenceWood
from edgetest.chop.tool_outline import Outline
from edgetest.chop.wood import wood_of_species
from edgetest.doubts import Where, doubt, joined
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.estimate import checked_level
from edgetest.store.records import STUDY_FILE
from edgetest.study.bench.blinding import names_doubts
from edgetest.study.chop.asked_depths import depth_doubts
from edgetest.study.chop.asked_of_handling import assumed_doubts, chopper_doubts, handling_doubts
from edgetest.study.chop.asked_of_likes import stroke_doubts
from edgetest.study.chop.asked_of_pieces import (
    piece_doubts,
    trial_result_doubts,
    unnoted_trials,
)
from edgetest.study.chop.asked_of_sizes import size_doubts
from edgetest.study.chop.asked_of_woods import wood_doubts
from edgetest.study.chop.board_words import board_word_doubts, with_board_words
from edgetest.study.chop.chop_faults import chop_faults
from edgetest.study.chop.chop_growth import doubts_of_growth, growths, with_sources
from edgetest.study.chop.chop_limit import limit_verdicts
from edgetest.study.chop.chop_looks import SOURCES, looks
from edgetest.study.chop.chop_result import ChopResult
from edgetest.study.chop.chop_rows import (
    billets,
    depths_of,
    measured_chops,
    severings,
    strokes,
)
from edgetest.study.chop.damage_counted import inspections
from edgetest.study.chop.edge_damage import falls, looks_kept, stopped_counting, touch_ups
from edgetest.study.chop.foretold import foretold
from edgetest.study.chop.handling import Handling, Shape, handling_of, outline_of, shapes_of
from edgetest.study.chop.looks_doubted import doubts_of_looks, doubts_of_pictures
from edgetest.study.chop.misses_by_day import misses_by_day
from edgetest.study.chop.other_pieces import with_reckoned
from edgetest.study.chop.piece_woods import own_woods, wood_faults
from edgetest.study.chop.ratio_doubts import ratio_doubts
from edgetest.study.chop.swings_told import lengths_of, swing_faults
from edgetest.study.chop.thinner_tip import thinner_tip
from edgetest.study.chop.told_notes import note_doubts, only_a_knot
from edgetest.study.chop.told_order import order_doubts
from edgetest.study.chop.treatment_mixing import mixing_doubts
from edgetest.study.chop.trial_damage import trial_doubts
from edgetest.study.chop.trial_rows import trials
from edgetest.study.chop.turns_taken import doubts_of_turns, turn_taking
from edgetest.study.wear.left_out_rows import mishap_doubts
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
        Where log or study have faults, or hold nothing to report, or the level is none.
    """
    checked_level(level)
    if damage_from not in SOURCES:
        raise UnusableInput(f'"{damage_from}" is not known', "damage from", " or ".join(SOURCES))
    source, log, study = _whole(source)
    second, treatments = _against(against, source), _treatments(study, log)
    pieces, chops = severings(log, study), measured_chops(log)
    found = looks(log, study, source.photos_folder, damage_from=damage_from)
    found, grown = _grown(found)
    tools = _tools(study)
    severed, doubts = billets(pieces, treatments)
    depths = depths_of(chops, treatments, doubts)
    report = chop_report(
        tools.tested(
            billets=severed,
            single_chops=depths,
            inspections=inspections(found, grown, depth_limit_um=chip_limit_um),
            trials=trials(log),
            treatment_of=treatments,
        ),
        rng=np.random.default_rng(SEED),
        reference=_reference(reference_wood, study),
        against=second,
        level=level,
        foretell=foretold,
    )
    report = _looked_at(report, grown, log)
    chopped = as_chopped([one.piece for one in pieces], level=level)
    doubts += [*joined(*(one.doubts for one in chopped)), *mixing_doubts(log, study, treatments)]
    doubts += [*_doubts(source, pieces, found, grown, tools), *report.doubts, *names_doubts(study)]
    result = ChopResult(
        title=source.title,
        study=study,
        protocol=source.protocol,
        log=log,
        report=report,
        as_chopped=chopped,
        reckoned=(),
        events=touch_ups(log.rows, strokes(log.rows)),
        pieces=pieces,
        chops=chops,
        looks=found,
        growth=grown,
        handling=tools.handling,
        outlines=tools.outlines,
        changes=_changes(thinner, tools, report, level),
        limit=tuple(limit_verdicts(study, found, grown, log.rows)),
        design=turn_taking(log),
        doubts=tuple(dict.fromkeys(doubts)),
    )
    return _wished(replace(result, against=against))


def _grown(found):
    """The looks with the source that each counts by, and what is new on every edge."""
    grown = growths(found)
    return with_sources(found, grown), grown


def _wished(result):
    """The result with doubts about its ratios and strokes for the pieces that its study names."""
    more = ratio_doubts(result.pieces, result.report, result.events)
    result = replace(result, doubts=(*result.doubts, *more))
    wishes = result.study.chop_to if result.study is not None and result.pieces else ()
    try:
        return with_reckoned(result, wishes)
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{STUDY_FILE}, chop_to", fault.mend) from None


def _looked_at(report, grown, log):
    """The report with looks and trials without a result counted as done."""
    looked = {one.kind for one in grown} | {TRIALS[row.kind] for row in unnoted_trials(log.rows)}
    return replace(report, not_tested=tuple(t for t in report.not_tested if t not in looked))


def _whole(source):
    """The source, its log with blanks as their boards say, and its study; or all its faults."""
    log, study = source.chops, source.study
    if log.faults or wood_faults(log, study):
        raise ManyFaults([*log.faults, *chop_faults(log, study)])
    begun = any(row.photo or not row.waiting for row in log.rows)
    if not (begun or (study is not None and (study.handling or study.outline))):
        mend = "fill in a row as you chop, in the file, with `edgetest enter` or on the page Bench"
        raise UnusableInput("nothing was chopped yet", log.name, mend)
    filled = with_board_words(log)
    return replace(source, chops=filled), filled, study


@dataclass(frozen=True)
class _Tools:
    """How the study's tools are held and shaped, by blade: as written and as numbers."""

    handling: dict[str, Handling]
    outlines: dict[str, Outline]
    shapes: dict[str, Shape] = field(default_factory=dict)
    lengths: dict[str, float] = field(default_factory=dict)

    @property
    def holds(self):
        """Grip and strike point of every tool, with its length where that is known."""
        return {name: held.hold(self.lengths.get(name)) for name, held in self.handling.items()}

    @property
    def swing_tests(self):
        """The pendulum tests that were made."""
        made = {name: record.swing_test() for name, record in self.handling.items()}
        return {name: test for name, test in made.items() if test is not None}

    def tested(self, **work):
        """What was done, the tools with their swing and shapes among it."""
        outlines = {name: one for name, one in self.outlines.items() if name in self.holds}
        return ChopTest(swing_tests=self.swing_tests, outlines=outlines, holds=self.holds, **work)

    def placed(self, blade):
        """Outline and hold of a blade that has both."""
        if blade not in self.outlines or blade not in self.holds:
            raise UnusableInput(
                f"{blade} has no shape with grip and strike point",
                where="study.toml",
                mend=f"write [outline.{blade}] and [handling.{blade}]",
            )
        return self.outlines[blade], self.holds[blade]


def _tools(study):
    """Handling and shapes of a study, none without one."""
    shapes, handling = (shapes_of(study), handling_of(study)) if study else ({}, {})
    outlines = {
        name: outline_of(shape, study, f"study.toml, outline.{name}")
        for name, shape in shapes.items()
    }
    lengths = lengths_of(study, handling, outlines)
    if faults := swing_faults(handling, lengths):
        raise ManyFaults(faults)
    return _Tools(handling, outlines, shapes, lengths)


def _reference(species, study):
    """The wood that chops are stated in: a species at 12 % moisture, or the usual one."""
    if species is None:
        return DOUGLAS_FIR
    named = wood_of_species(species, moisture_pct=12.0, own=own_woods(study))
    hardness = named.side_hardness_n.value
    how = ", reckoned from its density" if named.reckoned else ""
    words = f"{named.name} at 12 % moisture ({hardness:.0f} N side hardness{how})"
    return ReferenceWood(hardness, words)


def try_thinner(result, blade, from_mm, tip_mm, *, level=0.95):
    """What a distal taper would do to one blade's balance, swing and ringing.

    Returns
    -------
    Thinning

    Raises
    ------
    UnusableInput
        If the blade has no shape with grip and strike point, or the taper is off the blade.
    """
    lengths = lengths_of(result.study, result.handling, result.outlines)
    tools = _Tools(result.handling, result.outlines, lengths=lengths)
    return _thinning(blade, tools, (from_mm, tip_mm), result.report, level)


def _changes(thinner, tools, report, level):
    """The tapers that the study, or the caller, thinks of."""
    wanted = {
        name: (shape.thinner.from_mm, shape.thinner.tip_mm)
        for name, shape in tools.shapes.items()
        if shape.thinner is not None
    } | dict(thinner or {})
    for name in wanted:
        tools.placed(name)
    return tuple(_thinning(name, tools, taper, report, level) for name, taper in wanted.items())


def _thinning(blade, tools, taper, report, level):
    """A blade as it is and with a taper: from where, and how thick at the tip."""
    swung = next((tool.compared for tool in report.tools if tool.blade == blade), None)
    return thinner_tip(blade, tools.placed(blade), taper, swung=swung, seed=SEED, level=level)


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
    """Heat treatment of each blade that has one, where there are two or more to compare.

    The control stands aside: it is the measure of the others.
    """
    if study is None:
        return {}
    found = {name: study.heat_treatment_of(name) for name in log.blades() if name != study.control}
    known = {name: kind for name, kind in found.items() if kind}
    return known if len(set(known.values())) > 1 else {}


def _doubts(source, pieces, found, grown, tools):
    """Doubts about the study's own data."""
    if source.study is not None and source.study.invented:
        yield doubt("invented")
    yield from doubts_of_turns(source.chops)
    yield from misses_by_day(pieces)
    yield from size_doubts(source.chops.name, source.chops.rows)
    yield from wood_doubts(source.chops.name, source.chops.rows)
    yield from board_word_doubts(source.chops.rows)
    yield from piece_doubts(source.chops.name, source.chops.rows)
    yield from trial_result_doubts(source.chops.name, source.chops.rows)
    if source.study is not None:
        yield from handling_doubts(source.study)
        yield from chopper_doubts(source.study)
        yield from assumed_doubts(source.study)
    yield from stroke_doubts(source.chops.name, source.chops.rows)
    yield from depth_doubts(source.chops.name, source.chops.rows)
    yield from note_doubts(source.chops.name, source.chops.rows)
    yield from order_doubts(source.chops.name, source.chops.rows)
    yield from doubts_of_pictures(source.chops.rows, source.photos_folder)
    yield from doubts_of_looks(found, grown)
    yield from doubts_of_growth(grown)
    yield from falls(source.chops.rows)
    yield from looks_kept(source.chops.rows)
    yield from stopped_counting(source.chops.rows)
    yield from trial_doubts(found, source.chops.rows)
    for look in found:
        if look.source == "log" and look.edge_length_mm is None:
            yield doubt("edge_length_missing", where=Where(blade=look.blade, row=look.rows[0]))
    for name in tools.outlines:
        if name not in tools.holds:
            yield doubt("no_grip", blade=name, where=Where(blade=name))
    excluded = sum(bool(row.exclude) for row in source.chops.rows)
    if excluded:
        yield doubt("excluded_rows", readings=were(excluded, "row"))
    yield from mishap_doubts([row for row in source.chops.rows if not only_a_knot(row)])
