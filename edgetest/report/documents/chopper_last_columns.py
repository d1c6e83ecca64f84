"""What stands last on page one of a chopper's sheet: what was tried and what not, care, doubts?"""

from edgetest.report.documents.blocks import bullets, columns, facts, section, text
from edgetest.report.documents.care_words import care_lines
from edgetest.report.documents.chopper_words import first_doubts, trial_rows
from edgetest.study.chop.told_notes import frost_told

SAFETY = (
    "An edge guard on it whenever it is not in the cut; eyes covered, a free swing, nobody in its"
    " plane.",
    "Look at tang, handle and edge before use. Stop at a crack: a cracked blade is done. Stone out"
    " a small chip; ask the maker about a large one.",
)


def last_columns(result, blade, settings):
    """Trials, what was not tested, care and doubts, side by side at the foot of page one.

    Parameters
    ----------
    result : ChopResult
    blade : str
    settings : Settings
        Of the study's `[document]`.

    Returns
    -------
    dict
        Two columns.
    """
    rows = trial_rows(result, blade)
    limit = next((row["text"] for row in result.limit if row["blade"] == blade), "")
    rows.append(("Limit", limit))
    left = [section("Tried", facts(rows, narrow=True))] if any(w for _, w in rows) else []
    measured = {"depth per chop"} if any(one.blade == blade for one in result.chops) else set()
    not_done = ", ".join(test for test in result.report.not_tested if test not in measured)
    left.append(
        section(
            "Not tested",
            text(
                (f"{not_done[:1].upper()}{not_done[1:]}; " if not_done else "")
                + f"nor {_other_wood(result, blade)}, splitting, standing stems, slanting cuts,"
                " levering, throwing." + " One tool was tested, not its kind."
            ),
        )
    )
    shape = result.outlines.get(blade)
    parts = [part.name for part in shape.parts] if shape is not None else []
    care = settings.care or care_lines(result.study.blade(blade), parts)
    right = [section("Care and cautions", bullets([*SAFETY, *care]))]
    right += [section("Note", text(settings.note))] if settings.note else []
    doubts = first_doubts(result, blade)[0]
    right += [section("To bear in mind", bullets(doubts))] if doubts else []
    return columns(left, right, widths=[1.0, 1.12])


def _other_wood(result, blade):
    """The wood that was not tried: none frozen, unless a row tells of it."""
    own = [row for row in result.log.rows if row.blade == blade and not row.waiting]
    return "other wood" if any(map(frost_told, own)) else "other or frozen wood"
