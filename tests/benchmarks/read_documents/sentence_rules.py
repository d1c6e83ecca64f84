"""Which sentences may a document hold, and what must log and facts show for each?

A rule is a pattern and a check; the pattern's words B, T, N, BS and TS stand for a blade, a heat
treatment, a number and lists of them, S for a side of a ratio. The check returns what contradicts
the sentence, or nothing.
"""

import re
from dataclasses import dataclass, field

from tests.benchmarks.read_documents.page_text import table_rows

NUMBER = r"[\d,]*\.?\d+(?:e[+-]?\d+)?"
RULES = []


@dataclass
class Case:
    """One study with all that was told of it."""

    study: object
    bear: object
    told: dict = field(default_factory=dict)  # compare --json
    protocol: dict = field(default_factory=dict)
    blocks: list = field(default_factory=list)
    compiled: list = field(default_factory=list)

    @property
    def life_rows(self):
        """The table of lives as it stands in the blocks."""
        return table_rows(self.blocks, "Heat treatment and blade")

    def treatment(self, shown):
        """Id of the heat treatment of a name, capitals at a sentence's start forgiven.

        "The batch of" one stands only where all its blades came in one batch; "in its 3 batches"
        where they came in three; so do lots.
        """
        alone = re.fullmatch(r"[Tt]he (batch|lot) of (.+)", shown)
        several = re.fullmatch(r"(.+) in its (\d+) (batch|lot)e?s", shown)
        if alone or several:
            name, many, word = (alone[2], 1, alone[1]) if alone else several.groups()
            id_ = self.treatment(name)
            kind = {"batch": "batches", "lot": "blocks"}[word]
            return id_ if id_ is not None and self.bear.counted(id_, kind) == int(many) else None
        if shown in {b.id for b in self.study.blades} - {
            *self.bear.names,
            *self.bear.names.values(),
        }:
            return None  # a blade, though a heat treatment's id may be written so in lower case
        for id_, name in self.bear.names.items():
            if shown in (name, id_, name[:1].upper() + name[1:], id_[:1].upper() + id_[1:]):
                return id_
        return None

    def side(self, shown):
        """Id of the heat treatment that a side of a ratio stands for; one blade by its own id."""
        several = re.fullmatch(rf"the ({NUMBER}) blades of (.+)", shown)
        id_ = self.treatment(several[2] if several else shown)
        if id_ is not None:
            many = len(self.bear.cut_blades(id_))
            return id_ if several is None or many == int(several[1]) else None
        alone = next((b for b in self.study.blades if b.id == shown), None)
        if alone is None or len(self.bear.cut_blades(alone.treatment)) != 1:
            return None
        return alone.treatment


def rule(pattern, section=None):
    """A check for sentences of this pattern, in sections whose title begins so."""

    def keep(check):
        RULES.append((pattern, section, check))
        return check

    return keep


def plain(section, *texts):
    """Sentences that say nothing of this test: captions, definitions, advice."""
    for text in texts:
        RULES.append((re.escape(text) if not text.startswith("^") else text[1:], section, None))


def listed(one):
    """A list of names: 'A', 'A and B', 'A, B and C', 'A, B, C and 4 more'."""
    return rf"(?:{one})(?:, (?:{one}))*(?: and (?:{one}|{NUMBER} more))?"


def compiled(case):
    """The rules with the study's own names in the place of B and T."""
    names = sorted({n for pair in case.bear.names.items() for n in pair}, key=len, reverse=True)
    names += [n[:1].upper() + n[1:] for n in names]
    blades = sorted((b.id for b in case.study.blades), key=len, reverse=True)
    t = "|".join(map(re.escape, names))
    runs = "(?: · [\\w ]+?)?"
    b = f"(?:{'|'.join(map(re.escape, blades))}){runs}"
    whole = rf"(?:(?:[Tt]he (?:batch|lot) of )?(?:{t})|(?:{t}) in its \d+ (?:batches|lots))"
    side = f"(?:(?:the {NUMBER} blades of )?(?:{t})|{whole}|(?:{b}))"
    words = {"{TS}": listed(t), "{BS}": listed(b), "{T}": whole, "{B}": f"(?:{b})",
             "{N}": NUMBER, "{S}": side}  # fmt: skip
    out = []
    for pattern, section, check in RULES:
        for word, meant in words.items():
            pattern = pattern.replace(word, meant)
        out.append((re.compile(pattern), section, check))
    return out


def number(text):
    """A number as printed, thousands parted by commas."""
    return float(text.replace(",", ""))


def judged(block, case):
    """(rule or sentence, contradiction) of a block; 'unknown' where no rule covers a sentence."""
    whole = _one(block.text, block, case)
    if whole is not None:
        return whole
    found = []
    for sentence in sentences(block.text):
        told = _one(sentence, block, case)
        found += [("unknown", sentence, "no rule covers it")] if told is None else told
    return found


def covered(block, case):
    """Whether a rule speaks of a block's sentences as one."""
    return any(
        pattern.fullmatch(block.text) is not None
        for pattern, section, _ in case.compiled
        if section is None or block.section.startswith(section)
    )


def _one(text, block, case):
    for pattern, section, check in case.compiled:
        if section is not None and not block.section.startswith(section):
            continue
        match = pattern.fullmatch(text)
        if match:
            said = check(match, case) if check else None
            if said is None or said is True:
                return []
            said = [said] if isinstance(said, str) else said
            return [("untrue", text, one) for one in said]
    return None


def sentences(text):
    """Sentences of a block, parted where a stop is followed by a capital."""
    return [s for s in re.split(r"(?<=[.!?]) (?=[^\Wa-z\d_])", text) if s]
