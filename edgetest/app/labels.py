"""What does a fault of a study's file say on a page? Labels of fields in the place of keys."""

import re

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import unquoted

MISSING = "this key is missing"  # as the check of the file says it


def by_label(fault, facts, *, place="This card", spoken=True):
    """A fault of the file in the words of the page: labels of fields for the file's keys.

    Parameters
    ----------
    fault : UnusableInput
    facts : sequence
        Fields of the page, each with its `key` in the file and its `label`.
    place : str
        What the page calls the place of a key that has no field here.
    spoken : bool
        Whether a key is replaced wherever its word stands; else only where it is surely a key
        (`heat = 2`, `medium_c`), for such keys as "heat" are plain English too.
    """
    labels = {key: fact.label for fact in facts for key in (fact.key, fact.key.split(".")[-1])}
    surely = {key: spoken or "_" in key for key in labels}
    parts = [re.escape(key) + (r"\b" if surely[key] else "(?= =)") for key in labels]
    keys = re.compile(r"\b(?:" + "|".join(sorted(parts, key=len, reverse=True)) + ")")

    def named(words):
        return keys.sub(lambda met: f"“{labels[met[0]]}”", words)

    found = []
    for each in getattr(fault, "faults", (fault,)):
        key = each.where.split(", ")[-1]
        several, _, number = key.rpartition(" ")  # one of the entries of a field, as files_hrc 1
        where = labels.get(several if "_" in several and number.isdigit() else key, place)
        if each.what == MISSING:
            found.append(UnusableInput("is still blank", where, "type it"))
        else:
            found.append(UnusableInput(named(each.what), where, named(unquoted(each.mend))))
    return ManyFaults(found)
