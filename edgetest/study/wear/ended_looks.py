"""A look that was made: its answer is known again, and a test that it ended keeps that answer."""

from dataclasses import replace
from math import inf

from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE
from edgetest.study.wear.group_titles import titled_comparison, titles_of
from edgetest.study.wear.study_looks import added_late, fixed_late, looks_of
from edgetest.study.wear.wear_result import counted_doubt
from edgetest.study.words import listed
from edgetest.wear.compare.looks import look_doubts

# Behind the doubt, where the study does not say which blades the look had.
TAKEN = " Which blades it had is not noted; those that stand first in the log are taken."
WHY = "not in the look at {size} a side, which ended the test"  # behind each row left out
RETITLED = ("looks_not_of_blades",)


def as_the_look_left_it(source, answered):
    """The answer of a source; of a test that a look ended, the answer of that look.

    Rows of blades that the look did not have are left out, as are runs of the control blade in
    blocks that held none of its blades.

    Parameters
    ----------
    source : Source
    answered : callable
        Gives the `StudyResult` of a source.

    Returns
    -------
    StudyResult

    Raises
    ------
    UnusableInput
        Where that look was made of blades that the study does not know.
    """
    looks = looks_of(source.study)
    ended = looks and looks.ended
    if not ended:
        return _in_titles(_with_late(_as_noted(answered(source), looks), looks, source.study))
    _refuse_unknown(ended, source.study)
    kept, taken, result = ended.blades, "", None
    if not kept:
        result = answered(source)
        kept, taken = _first_tested(source, result, ended.size, answered), TAKEN
    control = source.study.control
    since = tuple(
        dict.fromkeys(
            row.blade
            for row in source.log.rows
            if row.blade not in (*kept, control) and not (row.waiting or row.exclude)
        )
    )
    if since or result is None:
        result = answered(_without(source, kept, ended.size) if since else source)
    doubts = [*result.study_doubts, *_moved(result.comparison, ended)]
    if since:
        words = {"size": ended.size, "which": listed(since), "taken": taken}
        told = doubt("look_after_stop", where=Where(value=ended.size), **words)
        doubts = [told, *_as_typed(doubts, result.readings, since, ended.size)]
    return _in_titles(_with_late(replace(result, study_doubts=tuple(doubts)), looks, source.study))


def _refuse_unknown(ended, study):
    """A look whose blades bear other names by now is no look of these blades."""
    unknown = [name for name in ended.blades if name not in {blade.id for blade in study.blades}]
    if unknown:
        raise UnusableInput(
            f"the look at {ended.size} a side was made of blades that the study does not know: "
            f"{listed(unknown)}",
            f"{STUDY_FILE}, plan.looks.made",
            "write there the names that these blades bear now",
        )


def _with_late(result, looks, study):
    """The result with the doubt of looks fixed, or blades added, when blades had been cut."""
    late = (*fixed_late(looks), *added_late(study)) if result.comparison is not None else ()
    return replace(result, study_doubts=(*result.study_doubts, *late)) if late else result


def _as_typed(doubts, readings, since, size):
    """The doubts of rows left out, as if only those were that somebody gave a reason for."""
    typed = sum(each.excluded and each.reason != WHY.format(size=size) for each in readings)
    for one in doubts:
        if one.code == "excluded_rows":
            if typed:
                yield counted_doubt("excluded_rows", typed)
        elif one.code != "blade_excluded" or one.where.blade not in since:
            yield one


def _first_tested(source, result, size, answered):
    """The blades that stand first in the log, as many as make a look of this size.

    The fewest, but that blades of one block (roll) were all there: a look comes after its round.
    """
    found = result.comparison
    of_all = {blade for one in found.groups for blade in one.blades} if found else set()
    kept = [blade for blade in source.log.blades() if blade in of_all]
    reached = found.look.size if found else 0
    while len(kept) > 2:
        *fewer, last = kept
        if reached <= size and _share_a_block(source, last, fewer):
            break
        less = answered(_without(source, fewer, size)).comparison
        without = less.look.size if less else 0
        if without < size:
            break
        kept, reached = fewer, without
    return tuple(kept)


def _share_a_block(source, blade, others):
    """Whether a blade ran in a block in which one of the others ran."""
    its = {row.block for row in source.log.rows if row.blade == blade and row.block}
    return any(row.blade in others and row.block in its for row in source.log.rows)


def _without(source, kept, size):
    """The source with the rows of the other blades left out, and the control's beside them."""
    why = WHY.format(size=size)
    blocks = {row.block for row in source.log.rows if row.blade in kept}
    control = source.study.control

    def row_of_look(row):
        its = row.block in blocks if row.blade == control else row.blade in kept
        return row if its or row.waiting or row.exclude else replace(row, exclude=why)

    rows = tuple(row_of_look(row) for row in source.log.rows)
    return replace(source, log=replace(source.log, rows=rows))


def _as_noted(result, looks):
    """The result, with the doubt that a look noted of its very blades gives another ratio now."""
    found = result.comparison
    if looks is None or found is None or found.look is None:
        return result
    noted = [one for one in looks.made if {*one.blades} == {*found.look.blades}]
    moved = [one for look in noted for one in _moved(found, look)]
    return replace(result, study_doubts=(*result.study_doubts, *moved))


def _moved(found, ended):
    """The doubt that the look's own blades give another ratio than the one that was noted."""
    now = found.look.answer if found is not None and found.look is not None else ""
    noted = ended.first or ended.answer
    if not (now and noted) or now == noted:
        return ()
    if found.ratio.low == 0 and found.ratio.high == inf:  # of that reading nothing is told
        return ()
    words = {"size": ended.size, "noted": noted, "now": now}
    return (doubt("look_answer_moved", where=Where(value=ended.size), **words),)


def _in_titles(result):
    """The result whose doubts of a look name heat treatments by their titles."""
    found = result.comparison
    if found is None or found.look is None:
        return result
    titled = titled_comparison(found, titles_of(result.study)).groups
    anew = {one.code: one for one in look_doubts(found.look, titled)}
    doubts = tuple(anew.get(one.code, one) if one.code in RETITLED else one for one in found.doubts)
    compared = replace(result.compared, comparison=replace(found, doubts=doubts))
    return replace(result, compared=compared)
