"""Is the protocol's limit on chips reached? A verdict a blade, within bounds where need be."""

from math import inf

from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.told_looks import (
    photographed_before,
    strokes_stoned_unseen,
    strokes_unseen,
)
from edgetest.study.chop.trial_damage import mishap_words, trial_words
from edgetest.study.words import counted

UNSEEN_BEFORE = "no_look_before"  # how a growth is known of an edge not looked at before


def limit_verdicts(study, found, grown, rows):
    """The protocol's limit on chips, a verdict for each blade looked at after the test.

    Chips that were there before the test do not count; the largest chip is of the whole edge.
    Strokes after the last look leave open whether a limit was reached that it did not show.

    Parameters
    ----------
    study : Study or None
    found : sequence of Look
    grown : sequence of Growth
    rows : sequence of ChopRow
        The whole log.

    Yields
    ------
    dict
    """
    rule = study.rules.limit if study else None
    if rule is None or rule.reading not in ("chips_count", "largest_chip_mm"):
        return
    limit = float(study.limit_value)
    whose = "the protocol's" if limit == rule.value else "the study's own"
    for look in found:
        if look.when != "after" or look.source is None:
            continue
        unseen = strokes_unseen(look, rows), strokes_stoned_unseen(found, look.blade, rows)
        chips = next((x for x in grown if (x.blade, x.kind) == (look.blade, "chips")), None)
        if rule.reading == "chips_count" and _open(chips):
            said = _in_bounds(look.blade, chips, limit, whose)
            yield _as_seen(said, look, *unseen)
            continue
        met, words = _met(rule, [*photographed_before(found, look), look], chips)
        if met is None:
            continue
        verdict = "reached" if met >= limit else "not reached"
        said = {
            "blade": look.blade,
            "reading": rule.reading,
            "value": float(met),
            "limit": limit,
            "verdict": verdict.replace(" ", "_"),
            "text": f"{met:.3g} {words}; {whose} limit is"
            f" {limit_words(rule.reading, limit)}: {verdict}{_rolls_beside(look.blade, grown)}"
            f"{_trial_beside(rule, look, rows)}",
        }
        yield _as_seen(said, look, *unseen)


def limit_words(reading, limit):
    """The limit with what it is on: 1 new chip, or 2 mm, the largest chip."""
    if reading == "largest_chip_mm":
        return f"{limit:g} mm, the largest chip"
    return f"{limit:g} new chip{'s' * (limit != 1)}"


def _as_seen(said, look, since, stoned):
    """The verdict, left open where strokes followed the last look at an edge that had not failed.

    As well where nobody had looked at an edge before it was touched up, after its last strokes.

    A limit that was reached stays reached, and one of which bounds leave it open stays open.
    """
    if said["verdict"] != "not_reached" or not (since or stoned):
        return said
    told = []
    if stoned:
        told.append(f"before a touch-up nobody looked after {counted(stoned, 'stroke')}")
    if since:
        told.append(f"nobody looked after the {since} that followed")
    seen = f"not reached after {counted(look.chops, 'stroke')}" if since else "not seen reached"
    open_now = f"{seen}; {' and '.join(told)}, so it is unknown"
    return {**said, "verdict": "unknown", "text": said["text"].replace("not reached", open_now)}


def rows_past_limit(rows, reading, limit):
    """Rows of one tool below a look that found the limit reached on the same edge.

    Parameters
    ----------
    rows : sequence of ChopRow
        Of one tool, in the order of the work.
    reading : {"chips_count", "largest_chip_mm"}
        What the limit is on; chips that were there before do not count, the largest chip does.
    limit : float

    Returns
    -------
    list of ChopRow
        Empty where no look found it reached; a touch-up begins another edge.
    """
    return [row for row, reached, _ in _with_reached(rows, reading, limit) if reached]


def rows_after_mending(rows, reading, limit):
    """Rows of one tool whose edge was touched up after a look had found the limit reached on it.

    Parameters
    ----------
    rows, reading, limit
        As in `rows_past_limit`, whose rows are not among these.

    Returns
    -------
    list of ChopRow
        From the touch-up on.
    """
    told = _with_reached(rows, reading, limit)
    return [row for row, reached, mended in told if mended and not reached]


def _with_reached(rows, reading, limit):
    """Each row, whether its edge had reached the limit before it, and whether an earlier had."""
    worst, stood, before, fresh, reached, mended = 0.0, inf, None, True, False, False
    for row in rows:
        if row.kind == TOUCH_UP:
            mended = mended or reached
            worst, stood, before, fresh, reached = 0.0, worst, None, True, False
        fresh = fresh and row.kind in ("inspection", TOUCH_UP)
        yield row, reached, mended
        if (value := getattr(row, reading)) is None:
            continue
        if before is None:  # a light touch-up leaves chips: as many of them may be the old ones
            before = value if fresh or stood == inf else min(value, stood)
        worst = max(worst, value)
        reached = reached or value - (before if reading == "chips_count" else 0.0) >= limit


def _rolls_beside(blade, grown):
    """The blade's new rolls in words, beside what the limit is on; "" where there are none."""
    rolls = next((x for x in grown if (x.blade, x.kind) == (blade, "rolls")), None)
    if rolls is None or not rolls.new:
        return ""
    old = " or old" if rolls.by == UNSEEN_BEFORE else ""
    return f" ({rolls.new} new{old} roll{'s' * (rolls.new != 1)} not counted)"


def _trial_beside(rule, look, rows):
    """That a trial or a mishap may have made chips that count; "" where none was counted so."""
    if rule.reading != "chips_count":
        return ""
    told = trial_words(rows, look.blade, "chips"), mishap_words(rows, look.blade, "chips")
    return "".join(f" ({words})" for words in told if words)


def _open(chips):
    """Whether chips were found of which it is not known if they are new."""
    if chips is None or chips.new is None:
        return chips is not None
    if chips.photographed is not None and chips.photographed.at_most > chips.new:
        return chips.photographed.at_least < chips.photographed.at_most
    return chips.new_at_least < chips.new_at_most and chips.by == UNSEEN_BEFORE


def _in_bounds(blade, chips, limit, whose):
    """The limit on chips where it is not known which of them are new."""
    unseen = chips.by == UNSEEN_BEFORE
    shown = chips.photographed or chips
    least = max(chips.new_at_least, getattr(shown, "at_least", 0))
    most = max(chips.new_at_most, getattr(shown, "at_most", 0))
    why = " (the edge was not looked at before the test)" if unseen else ""
    verdict = "reached" if least >= limit else "not reached" if most < limit else "unknown"
    said = "it is unknown whether it is reached" if verdict == "unknown" else f"it is {verdict}"
    return {
        "blade": blade,
        "reading": "chips_count",
        "value": None,
        "low": least,
        "high": most,
        "limit": limit,
        "verdict": verdict.replace(" ", "_"),
        "text": f"{least} to {most} new chips{why}; {whose} limit is "
        f"{limit_words('chips_count', limit)}, {said}",
    }


def _met(rule, found, chips):
    """What the looks, the last one last, have of the reading that the limit is on; its words."""
    if rule.reading == "largest_chip_mm":
        look = found[-1]
        pictured = [one for one in found if one.source == "photographs"]
        lengths = [chip["length_um"] / 1000 for one in pictured for chip in one.seen("chips")]
        lengths += [0.0] if look.source == "photographs" else []
        logged = look.standing.worst("largest chip")
        lengths += [logged] if logged is not None else []
        return max(lengths, default=None), "mm, the largest chip"
    new = chips.new if chips else None
    if chips is not None and chips.beyond_eye:
        shown = chips.photographed.at_least
        words = f"new chip{'s' * (shown != 1)} in photographs ({new or 'none'} new by eye)"
        return shown, words
    return new, f"new chip{'' if new == 1 else 's'}"
