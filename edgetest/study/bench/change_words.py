"""What became of which reading: a change of the history in words."""

from edgetest.store.history import IN_THE_FILE, TABLES
from edgetest.study.facts.set_facts import facts_in_words

_DONE = {
    "append": "saved",
    "correct": "corrected",
    "undo": "undone",
    "facts": "changed",
    IN_THE_FILE: "changed in the file:",
}
# Columns that say where a row belongs.
KEYS = ("blade", "block", "cuts", "station_mm", "check_no", "kind", "order")


def cell_words(column, text, rules):
    """A cell in the words of the protocol: "edge width 7.1 µm"; a unit that was typed stays."""
    for rule in rules.readings:
        if rule.name == column:
            unit = "" if any(map(str.isalpha, text.rpartition("→")[2])) else rule.unit
            return f"{rule.title} {text} {unit}".strip()
    return f"{column.replace('_', ' ')} {text}"


def change_words(change, names, rules):
    """A change of the history in words: what became of which reading."""
    before, after = change.before or {}, change.after or {}
    word = _DONE.get(change.what, change.what)
    if change.table not in TABLES:  # facts of the study
        return f"{word} {facts_in_words(change)}"
    cells = after or before
    blade = cells.get("blade", "")
    place = [names.get(blade, blade), cells.get("block", "")]
    place.append(f"{cells['cuts']} cuts" if "cuts" in cells else "")
    place.append(f"{cells.get('kind', '')} {cells.get('order', '')}".strip())
    place.append(f"station {cells['station_mm']} mm" if cells.get("station_mm") else "")
    where = ", ".join(part for part in place if part)
    changed = [
        _became(name, before.get(name, ""), after.get(name, ""), rules)
        for name in dict.fromkeys([*before, *after])
        if before.get(name, "") != after.get(name, "")
        and (name not in KEYS or (before.get(name) and after.get(name)))
    ]
    return f"{where}: {word} {'; '.join(changed)}"


def _became(name, before, after, rules):
    if before and after:
        return cell_words(name, f"{before} → {after}", rules)
    return cell_words(name, after, rules) if after else f"{cell_words(name, before, rules)} removed"
