"""All that is weighed in one verdict on a steel, and which piece it speaks of."""

from dataclasses import dataclass, replace

from edgetest.errors import UnusableInput
from edgetest.steel.belief import DamageEvidence, LifeEvidence
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.quench import QuenchResponse


@dataclass(frozen=True)
class SteelEvidence:
    """What was found of a steel on one route; empty or None where a test was not done."""

    life: tuple[LifeEvidence, ...] = ()  # against the reference blade, one entry a comparison
    hardness: HardnessResult | None = None  # after the temper meant for use
    damage: tuple[DamageEvidence, ...] = ()
    case: CaseResult | None = None  # the carburised edge after grinding
    cracking: tuple[int, int] | None = None  # (cracked, quenched)
    quench: QuenchResponse | None = None  # its contradictions hold the verdict back

    @property
    def contradictory(self):
        """Whether the quench contradicts itself."""
        return self.quench is not None and self.quench.contradictory

    def pieces_by_kind(self):
        """For each kind of evidence that there is, the pieces it covers in the order met."""
        kinds = [[one.piece for one in items] for items in (self.life, self.damage) if items]
        if self.hardness is not None:
            kinds.append([each.piece for each in self.hardness.pieces])
        return [list(dict.fromkeys(names)) for names in kinds]

    def of_piece(self, piece):
        """The evidence on one piece; all of it where `piece` is None, the lot."""
        if piece is None:
            return self
        read = self.hardness is not None and piece in [p.piece for p in self.hardness.pieces]
        return replace(
            self,
            life=tuple(one for one in self.life if one.piece == piece),
            hardness=self.hardness if read else None,
            damage=tuple(one for one in self.damage if one.piece == piece),
        )

    def speaks_of(self, piece=None):
        """The piece asked about, else the one tested most fully; None for the lot.

        Raises
        ------
        UnusableInput
            If all evidence is on other pieces than the one asked about.
        """
        kinds = self.pieces_by_kind()
        if piece is None:
            return most_tested(kinds, default="1")
        known = list(dict.fromkeys(name for names in kinds for name in names))
        if known and piece not in known:
            mend = f"known are {', '.join(known)}"
            raise UnusableInput(f"piece {piece!r} has no evidence", "piece", mend)
        return piece


def most_tested(kinds, *, default):
    """The piece that most kinds of evidence cover; None, the lot, where each covers several.

    Parameters
    ----------
    kinds : list of list of str
        Pieces covered by each kind of evidence.
    default : str
        The piece where there is no evidence.
    """
    if kinds and all(len(names) > 1 for names in kinds):
        return None
    known = dict.fromkeys(name for names in kinds for name in names)
    return max(known, key=lambda name: sum(name in names for names in kinds), default=default)
