"""The looks of a study: fixed in its plan, read from study.toml, remembered there when made."""

import json
from dataclasses import replace
from math import isfinite

from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.stats.group_sequential import LookBounds
from edgetest.store.logs import LIFE
from edgetest.store.records import STUDY_FILE
from edgetest.store.workspace import change_study
from edgetest.study.words import listed
from edgetest.wear.compare.looks import NO_LOOK, LookMade, Looks

_KEYS = ("sizes", "levels", "constant", "shape", "level")


def looks_of(study):
    """The looks that a study's plan has fixed; None where it has none.

    Raises
    ------
    UnusableInput
        Where the table of study.toml is not what the plan wrote.
    """
    table = ((study.plan if study else None) or {}).get("looks")
    if table is None:
        return None
    try:
        sizes, levels, constant, shape, level = (table[key] for key in _KEYS)
        bounds = LookBounds(
            tuple(int(n) for n in sizes), tuple(map(float, levels)), float(constant),
            float(shape), float(level),
        )  # fmt: skip
        made = tuple(
            LookMade(
                int(one["size"]), str(one["decision"]), tuple(map(str, one.get("blades", ()))),
                str(one.get("answer", "")), str(one.get("first", "")),
            )
            for one in table.get("made", ())
        )  # fmt: skip
        cut_before = table.get("cut_before", 0)
        whole = len(bounds.levels) == len(bounds.sizes) > 0 and all(
            0.5 < at < 1 for at in bounds.levels
        )
        whole = whole and type(cut_before) is int and cut_before >= 0
    except (KeyError, TypeError, ValueError):
        whole = False
    if not whole:
        raise UnusableInput(
            "the looks are not as `edgetest plan --looks` wrote them",
            f"{STUDY_FILE}, plan.looks",
            "put them back as they were, or take them out and plan anew",
        )
    return Looks(bounds, made, cut_before)


def look_made(study, comparison):
    """The look that a comparison is; None of a study that has none.

    Raises
    ------
    UnusableInput
        Where the study has looks and nothing can be compared, or nothing is known of the ratio.
    """
    known = comparison is not None and _known(comparison.ratio)
    if not known and looks_of(study) is not None:
        what = "nothing can be compared" if comparison is None else "the ratio is not known"
        raise UnusableInput(
            f"{what} yet, so no look was made", "compare, --look",
            "`edgetest compare` without --look says what is missing",
        )  # fmt: skip
    return comparison and comparison.look


def look_to_note(comparison):
    """The look of a comparison that the study does not hold yet, or not as it is now; else None."""
    look = comparison.look
    if look is None or look.decision in NO_LOOK or not _known(comparison.ratio):
        return None
    noted = next((one for one in look.made if one.size == look.size), None)
    if noted is None:
        return look
    entry = {"decision": look.decision, "blades": look.blades, "answer": look.answer}
    return look if _made_again(vars(noted), entry) is not None else None


def _known(ratio):
    return ratio.low > 0 or isfinite(ratio.high)


def remember_look(folder, look):
    """Write a look into the study that was made: how many a side, what it said, its blades.

    A look that gave an answer stays. Any other is made again where its very blades were cut on, a
    reading was corrected, or what it hung on was settled: what it says then counts, and its first
    ratio stays beside it. What lies before the first look or beyond the last is none.

    Raises
    ------
    UnusableInput
        Where the study has no looks, or the look is none of them.
    """
    if look is None:
        raise UnusableInput(
            "this study has no looks", str(folder), "plan them first: `edgetest plan STUDY --looks`"
        )
    if look.decision in ("before", "beyond", "after"):
        first = look.decision == "before"
        raise UnusableInput(
            f"{look.size} {look.counted} a side are none of the looks that were planned",
            str(folder),
            f"the first look is at {look.next_size} a side"
            if first
            else "the test ended before; without --look you see what stands",
        )
    entry = {"size": look.size, "decision": look.decision, "blades": list(look.blades),
             "answer": look.answer}  # fmt: skip

    def with_look(now):
        table = dict(now.plan["looks"])
        made = list(table.get("made", ()))
        if look.decision in ("between", "early"):
            return now
        at = next((k for k, one in enumerate(made) if one["size"] == look.size), len(made))
        kept = _made_again(made[at], entry) if at < len(made) else {}
        if kept is None:
            return now
        made[at : at + 1] = [{**entry, **kept}]
        return now.model_copy(update={"plan": {**now.plan, "looks": {**table, "made": made}}})

    change_study(folder, with_look)


def _made_again(before, entry):
    """What a look that is made again keeps of the first time; None where it stays as it was."""
    alike = {*before.get("blades", ())} == {*entry["blades"]}
    same = all(before.get(key) == entry[key] for key in ("decision", "answer"))
    if not alike or before["decision"] == "stop" or same:
        return None
    moved = before.get("answer", "") if before.get("answer") != entry["answer"] else ""
    first = before.get("first") or moved
    return {"first": first} if first else {}


FEWEST_READ = 2  # blades a side, from which on a comparison claims something


def cut_before(source):
    """How many blades a side had been cut by now: of the heat treatment that has the fewest.

    Parameters
    ----------
    source : Source
        Of a study of wear.
    """
    study = source.study
    cut: dict[str, set[str]] = {}
    read = {row.blade for row in source.log.rows
            if (row.cuts or LIFE in row.readings) and not (row.waiting or row.exclude)}  # fmt: skip
    for blade in study.blades:
        if blade.heat_treatment and blade.id != study.control:
            cut.setdefault(blade.heat_treatment, set()).update({blade.id} & read)
    return min(map(len, cut.values()), default=0) if len(cut) > 1 else 0


def first_look(source):
    """Blades a side at the first look of a new plan: those fixed before, else what was cut."""
    before = looks_of(source.study)
    return cut_before(source) if before is None else before.boundary.sizes[0]


def fixed_late(looks):
    """The doubt that the looks were fixed when a comparison could have been read already."""
    if looks is None or looks.cut_before < FEWEST_READ:
        return ()
    return (doubt("looks_fixed_late", cut=looks.cut_before, where=Where(value=looks.cut_before)),)


ADDED = "added_after"  # of a plan: blades a side that had been cut when blades were added


def with_added(source, before, order, plan):
    """A new plan with how many blades a side had been cut when it first gained blades.

    Parameters
    ----------
    source : Source
        Of the study, as it was planned.
    before : mapping
        The plan that stands.
    order : sequence of (str, str)
        Block and blade of every run of the new one.
    plan : dict
        The new plan; one with looks fixed needs none.

    Returns
    -------
    dict
    """
    if ADDED in before:
        return plan | {ADDED: _added_after(before)}
    planned = {blade for _, blade in before.get("order", ())}
    cut = cut_before(source) if planned and {blade for _, blade in order} - planned else 0
    return plan | {ADDED: cut} if cut >= FEWEST_READ and "looks" not in plan else plan


def _added_after(plan):
    """How many blades a side had been cut when a plan gained blades; 0 where it gained none."""
    cut = plan.get(ADDED, 0)
    if type(cut) is not int or cut < 0:
        raise UnusableInput(
            f"{json.dumps(cut, default=str)} is no number of blades",
            f"{STUDY_FILE}, plan.{ADDED}",
            "write how many blades of each heat treatment had been cut when blades were added, "
            "such as 2",
        )
    return cut


def added_late(study):
    """The doubt that blades were added when a comparison could have been read already.

    Raises
    ------
    UnusableInput
        Where the plan says of them what is no number of blades.
    """
    plan = (study.plan if study else None) or {}
    cut = _added_after(plan)
    if cut < FEWEST_READ or "looks" in plan:
        return ()
    return (doubt("blades_added_late", cut=cut, where=Where(value=cut)),)


def looks_to_keep(source, study, asked):
    """The looks of a new plan; with those that it fixes, how many blades had been cut by then.

    Parameters
    ----------
    source : Source
        Of the study of wear that is planned.
    study : Study
        As it stands on disk.
    asked : Looks or None

    Raises
    ------
    UnusableInput
        As `kept_looks`.
    """
    looks, before = kept_looks(study, asked), looks_of(study)
    if looks is None:
        return None
    same = before is not None and before.boundary.sizes == looks.boundary.sizes
    return replace(looks, cut_before=before.cut_before if same else cut_before(source))


def kept_looks(study, asked):
    """The looks of a new plan: those asked for, else those that were fixed before.

    Raises
    ------
    UnusableInput
        Where looks were made and the new plan has others.
    """
    before = looks_of(study)
    if before is None or asked is None:
        return before or asked
    if not before.made:
        return asked
    if asked.boundary.sizes != before.boundary.sizes:
        raise UnusableInput(
            f"{len(before.made)} of the looks were made, with {before.boundary.most} a side as the "
            "greatest number",
            f"{STUDY_FILE}, plan.looks",
            "keep to it: a number changed after a look makes false claims likelier",
        )
    return before


def looks_stay(study):
    """That looks fixed before stay in a plan that asks for none, and how they go; else ""."""
    before = looks_of(study)
    if before is None or before.ended:
        return ""
    return (
        f"The looks fixed before stay, at {listed(before.boundary.sizes)} blades a side. To plan "
        f"without them, take [plan.looks] out of {STUDY_FILE}."
    )


def test_over(study):
    """The doubt of a plan that a look has ended this test: what is cut from now on is left out."""
    looks = looks_of(study)
    ended = looks and looks.ended
    return (doubt("test_ended", size=ended.size, where=Where(value=ended.size)),) if ended else ()


def told_after_the_end(source, change):
    """That a test is over, where the row just entered is the first of a later blade's run.

    Parameters
    ----------
    source : Source
    change : Change

    Yields
    ------
    str
    """
    looks = looks_of(source.study)
    kept = looks.ended.blades if looks and looks.ended else ()
    if change.table != "log" or not kept:
        return
    read = [row for row in source.log.rows if not row.waiting]
    run = next(((row.blade, row.block) for row in read if row.line == change.row), None)
    later = run is not None and run[0] not in (*kept, source.study.control)
    if later and sum((row.blade, row.block) == run for row in read) == 1:
        yield from (one.text for one in test_over(source.study))
