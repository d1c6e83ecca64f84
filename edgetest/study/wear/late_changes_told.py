"""Changes behind the last reading in words: the same change of many rows is told once."""

from collections.abc import Sequence
from typing import Any

from edgetest.study.bench.change_words import became_words, change_words
from edgetest.study.wear.corrected_late import LateChange
from edgetest.study.words import row_spans


def late_changes_told(late: Sequence[LateChange], rules: Any) -> list[str]:
    """A sentence's part for each change, one for all rows of a blade that changed alike on a day.

    Parameters
    ----------
    late : sequence of LateChange
    rules : Protocol
        Its words of the readings.

    Returns
    -------
    list of str
    """
    alike: dict[tuple[str, ...], list[LateChange]] = {}
    for one in late:
        cells = one.change.after or one.change.before or {}
        when = f" ({one.change.when[:10]}{', after the names came back' * one.names_known})"
        key = cells.get("blade", ""), cells.get("block", ""), became_words(one.change, rules), when
        alike.setdefault(key, []).append(one)
    return [
        (
            f"{', '.join(part for part in (blade, block) if part)}, rows "
            f"{row_spans(dict.fromkeys(one.change.row for one in mine))}: {became}{when}"
            if len(mine) > 1
            else f"{change_words(mine[0].change, {}, rules)}{when}"
        )
        for (blade, block, became, when), mine in alike.items()
    ]
