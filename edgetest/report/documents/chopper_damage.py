"""What happened to a tool's edge and to that of the blade beside it, in sentences."""

from math import inf
from operator import gt

from edgetest.report.documents.chopper_numbers import per_edge
from edgetest.report.documents.tools_beside import beside, tool_title
from edgetest.report.documents.touched_up_words import touched_up_words
from edgetest.report.wording import in_units, size_in_units
from edgetest.study.chop.chip_grown import chip_grown
from edgetest.study.chop.edge_damage import KINDS, damage_by_row, last_counted
from edgetest.study.chop.looks_doubted import AS_MUCH
from edgetest.study.chop.told_looks import strokes_stoned_unseen, strokes_unseen
from edgetest.study.chop.trial_damage import (
    causes_words,
    first_at_trials,
    mishap_words,
    trial_words,
)
from edgetest.study.words import counted, listed


def edge_sentences(result, blade, units):
    """New chips and rolls of a tool, with the bound that none seen leaves.

    Parameters
    ----------
    result : ChopResult
    blade : str
    units : {"metric", "inch", "both"}

    Yields
    ------
    str
    """
    told = _new_damage(result, blade, units)
    if told is None:
        return
    bound = _bound(result, blade)
    chips = next(one for one in result.growth if (one.blade, one.kind) == (blade, "chips"))
    length, factor = per_edge(units)
    early = [kind for kinds in _stopped_after(result, blade).values() for kind in kinds]
    seen = chips.new == 0 and bound and not chips.beyond_eye and "chips" not in early
    part = chips.source == "photographs" and "; by eye" in told
    there = "in the photographs" if part else "there"
    tail = (
        f" Seeing no chip {there} still allows {factor * bound:.2g} per {length}." if seen else ""
    )
    yield f"After {told}.{tail}"


def comparison_edge_sentences(result, blade, units):
    """The same of the tools beside it: a blade that chipped too speaks of the wood, not the tool.

    Parameters
    ----------
    result, blade, units
        As in `edge_sentences`.

    Yields
    ------
    str
    """
    chopped = {piece.blade for piece in result.pieces} | {chop.blade for chop in result.chops}
    for other in beside(result, blade)[1:]:
        told = _new_damage(result, other, units, touched_when=True)
        name = tool_title(result, other).removeprefix("blade ")
        if told is not None:
            yield f"Beside it, {name}, after {told}."
        elif other in chopped:
            yield f"Beside it, {name}: nobody looked at its edge after it had chopped."


def _new_damage(result, blade, units, *, touched_when=False):
    """Chops, and what is new on the edge after them; None where nobody looked.

    With `touched_when` it is told when a tool was touched up: its own sheet says so elsewhere.
    """
    new = {one.kind: one for one in result.growth if one.blade == blade}
    if "chips" not in new:
        return None
    chips, rolls = new["chips"], new.get("rolls")
    before = {one.by for one in new.values()}
    unknown = ", not looked at before the test" if "no_look_before" in before else ""
    edges = [_edge_words(result, one, units) for one in (chips, rolls) if one is not None]
    eyes = [_eye_words(one) for one in (chips, rolls) if one is not None]
    what = _new_words(chips, "chip")
    if len(set(edges)) == 2:  # the eye went over all of it, the photographs show a part
        what += edges[0] + eyes[0]
    if rolls is not None:
        what += f" and {_new_words(rolls, 'roll')}"
    eye = eyes[-1] if len(set(edges)) == 2 else max(eyes)
    since = f"{_largest(result, chips, units)}{_places(result, blade)}"
    since += f"{_by_eye(result, list(new.values()), units)}{_beyond_words(new.values(), units)}"
    since += f"{_began(result, blade)}{touched_up_words(result, blade, when=touched_when)}"
    since += f"{_stopped(result, blade)}{_tried(result, new.values())}"
    since += f"{_mishaps(result, new.values())}{_unseen(result, chips)}"
    return f"{counted(chips.chops, 'chop')}: {what}{edges[-1]}{eye}{unknown}{since}"


def _largest(result, chips, units):
    """The largest new chip as typed where the eye's count stands; "" where an old one may be it.

    Of an edge that was touched up also its size at the last look, where the stone left less.
    """
    if not chips.new or chips.old or chips.source != "log":
        return ""
    size, now = result.look(chips.blade, "after").standing.worst("largest chip"), None
    if any(one["blade"] == chips.blade for one in result.events):
        size, now = _largest_and_last(result, chips.blade)
    if not size:
        return ""
    told = f"; the largest chip {size_in_units(size, 'mm', units)}"
    grown = chip_grown(result.log.rows, chips.blade)
    if grown is not None and grown.most_mm == size:
        first = size_in_units(grown.first_mm, "mm", units)
        told += f", {first} when first measured after {counted(grown.first_after, 'stroke')}"
    less = now is not None and now < size
    return f"{told}, at the last look {size_in_units(now, 'mm', units)}" if less else told


def _largest_and_last(result, blade):
    """The largest chip that was typed of a tool, and the size at its last look, or None."""
    looked = [row for row in result.log.rows if row.blade == blade and row.look_counts
              and (row.chips_count is not None or row.largest_chip_mm)]  # fmt: skip
    sizes = [row.largest_chip_mm for row in looked if row.largest_chip_mm]
    return (max(sizes), looked[-1].largest_chip_mm or None) if sizes else (None, None)


def _eye_words(grown):
    """That a number was counted by eye; "" where photographs show it."""
    return " (counted by eye)" * (grown.source == "log" and grown.seen_after is None)


def _beyond_words(grown, units):
    """What the photographs show new beyond a count by eye; "" where they show no more."""
    told = []
    for one in grown:
        if one.beyond_eye:
            shown = counted(one.photographed.at_least, f"new {one.kind[:-1]}")
            length = in_units(f"{one.photographed.edge_length_mm:.0f} mm", units)
            told.append(f"; photographs of {length} show {shown}")
    return "".join(told)


def _by_eye(result, grown, units):
    """What the eye saw new on the whole edge, where the numbers are those of photographs."""
    told, look, alike = [], None, True
    for one in grown:
        look = result.look(one.blade, "after")
        new = look.standing.new(one.kind)
        if one.source == "photographs" and new is not None:
            whole = one.edge_length_mm >= AS_MUCH * (look.edge_length_mm or inf)
            alike = alike and round(new) == one.new and one.by != "no_look_before"
            if alike and whole:
                continue
            old = "new " * (one.by != "no_look_before")
            told.append(counted(round(new) or "no", f"{old}{one.kind[:-1]}"))
    if not told:
        return ""
    typed = result.study.blade(grown[0].blade).edge_length_mm
    whole = f"all {size_in_units(typed, 'mm', units)}" if typed else "the whole edge"
    if alike:
        return f"; by eye as many on {whole}"
    return f"; by eye, on {whole}, {' and '.join(told)}"


def _places(result, blade):
    """Where on the edge new damage sits, as typed at the looks that first counted it by eye."""
    damage, last, found = damage_by_row(result.log.rows), [0.0 for _ in KINDS], []
    for row in result.log.rows:
        if row.blade == blade and row.look_counts:
            new = [damage[row.line].new(kind) or 0.0 for kind in KINDS]
            found += [row.damage_at] * (any(map(gt, new, last)) and row.damage_at != "")
            last = new
    if not found:
        return ""
    chips = next(one for one in result.growth if (one.blade, one.kind) == (blade, "chips"))
    some = "" if chips.new is not None else " those counted last"
    return f",{some} at: {listed(dict.fromkeys(found))}"


def _stopped(result, blade):
    """Which kinds that count by eye were not counted at the last look; "" where both were."""
    eye = "by eye " * bool(result.look(blade, "after").measured)
    told = _stopped_after(result, blade).items()
    return "".join(f"; {listed(kinds)} last counted {eye}after {n}" for n, kinds in told)


def _stopped_after(result, blade):
    """Kinds that count by eye but were not counted at the last look, by their last strokes.

    A photograph of a part of the edge is no count of the whole of it.
    """
    after, early = result.look(blade, "after"), dict[int, list[str]]()
    for kind, n in last_counted(result.log.rows).get(blade, {}).items():
        if after.sources[kind] == "log" and n < after.chops:
            early.setdefault(n, []).append(kind)
    return early


def _began(result, blade):
    """What was seen on the edge before the test, where damage was seen."""
    before = result.look(blade, "before")
    told = [_began_words(before, kind) for kind in KINDS] if before is not None else []
    told = [words for words in told if words]
    return f"; it began with {listed(told)}" if told else ""


def _began_words(before, kind):
    """Damage of a kind before the test by the source in use, and what the other says where more."""
    eye = before.counted[kind] or 0
    shown = len(before.seen(kind)) if before.measured else 0
    used, more, how = (eye, shown, "in photographs")
    if before.sources[kind] == "photographs":
        used, more, how = (shown, eye, "by eye")
    if not used and not more:
        return ""
    beside = f" ({more} {how})" if more > used else ""
    return f"{counted(used or 'no', kind[:-1])}{beside}"


def _unseen(result, chips):
    """That nobody looked after further chops; "" where the last look followed all of them."""
    rows = result.log.rows
    more = strokes_unseen(result.look(chips.blade, "after"), rows)
    told = f"; not looked at after {counted(more, 'more chop')}" if more else ""
    stoned = strokes_stoned_unseen(result.looks, chips.blade, rows)
    if stoned:
        told += f"; nobody looked after {counted(stoned, 'chop')} before it was touched up"
    return told


def _tried(result, grown):
    """That a trial and not the chopping may have made new damage; "" where none was first seen so.

    Parameters
    ----------
    result : ChopResult
    grown : sequence of Growth
        Chips and rolls of one blade.
    """
    fresh, rows = [one for one in grown if one.new], result.log.rows
    if not fresh:
        return ""
    if len(fresh) > 1:
        told = [trial_words(rows, one.blade, one.kind) for one in fresh]
        return "".join(f"; {words}" for words in told if words)
    (one,) = fresh
    words = trial_words(rows, one.blade, one.kind)
    many = sum(first_at_trials(rows, one.blade, one.kind).values())
    some = "" if many >= one.new else f"{many} of them "
    return f"; {some}{words[words.index('first') :]}" if words else ""


def _mishaps(result, grown):
    """That a mishap is noted where new damage was first counted; "" where none is."""
    told = [mishap_words(result.log.rows, one.blade, one.kind) for one in grown if one.new]
    told += [words for one in grown if (words := _beyond_eye(result, one)) and words not in told]
    return "".join(f"; {words}" for words in told if words)


def _beyond_eye(result, one):
    """Mishaps and hard trials of a tool whose photographs show more new damage than was counted."""
    by_eye = result.look(one.blade, "after").standing.new(one.kind) or 0
    if one.source != "photographs" or not one.new_at_most or by_eye >= one.new_at_most:
        return ""
    return causes_words(result.log.rows, one.blade)


def _bound(result, blade):
    """Upper end of the new chips on 100 mm of edge, or None."""
    rates = (
        row.per_100_mm.high
        for when, one in result.report.damage
        if (when, one.kind) == ("during", "chips")
        for row in one.blades
        if row.blade == blade
    )
    return next(rates, None)


def _edge_words(result, chips, units):
    """The length of edge that was looked at: as typed, or as the photographs show it."""
    if chips.edge_length_mm is None:
        return ""
    typed = result.study.blade(chips.blade).edge_length_mm
    if typed is not None and float(typed) == chips.edge_length_mm:
        return f" on {size_in_units(typed, 'mm', units)} of edge"
    shown = f" on {chips.edge_length_mm:.0f} mm of edge"
    if typed is None or chips.edge_length_mm >= AS_MUCH * float(typed):
        return in_units(shown, units)
    by_eye = result.look(chips.blade, "after").standing.new(chips.kind) is not None
    of = (
        "" if by_eye else f", of {size_in_units(typed, 'mm', units)}"
    )  # else the eye's words say it
    return f"{in_units(shown, units)} (photographed{of})"


def _new_words(grown, word):
    """How many are new, or within which bounds, and where a photograph between pieces shows it."""
    seen = grown.seen_after
    when = "an earlier photograph" if seen == grown.chops else f"a photograph after {seen} chops"
    return _count_words(grown, word) + (f" in {when}" if seen else "")


def _count_words(grown, word):
    """How many are new, or within which bounds."""
    if grown.by == "no_look_before":
        least = f", {grown.new_at_least} of them new for sure" if grown.new_at_least else ""
        return f"{counted(grown.new or 'no', word)}{least}"
    if grown.new is not None:
        return counted(grown.new or "no", f"new {word}")
    most = counted(grown.new_at_most, word)
    least = f", {grown.new_at_least} of them new for sure" if grown.new_at_least else ""
    return f"{most} (new or old: unknown{least})"
