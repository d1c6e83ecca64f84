"""Written cases of a mystery steel as the program takes them, and how an answer is held to them."""

import tomllib
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelDecision, SteelLosses
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.store.checking import validate
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes
from edgetest.study.steel.steel_tables_file import load_steel_tables

HERE = Path(__file__).parent
MINE = sorted((HERE / "cases").glob("*.toml"))
OTHERS = sorted((HERE / "other_cases").glob("*.toml"))
CASES = (*MINE, *OTHERS)
NEVER_A_FAULT = {"alike_differ"}  # younger than the cases, which need it only where they say so


@dataclass(frozen=True)
class WrittenCase:
    """One case: what was seen, what is asked, and a good smith's answer."""

    name: str
    seen: SteelSeen
    piece: str | None
    losses: SteelLosses
    answer: dict

    def wrong(self, got: SteelDecision):
        """Which of action, way, family and contradictions the answer does not hold."""
        must = set(self.answer["contradictions"])
        named = {one.code for one in got.contradictions} - (NEVER_A_FAULT - must)
        fine = {
            "action": self._action(got) in self.answer["action"],
            "way": self._way_is_fine(got),
            "family": got.family in self.answer["family"],
            "contradictions": must <= named <= must | set(self.answer.get("may_name", [])),
        }
        return [part for part, is_so in fine.items() if not is_so]

    def _action(self, got):
        """The action; `reuse` counts as `reuse_trial` where a trial blade stands in the case."""
        plain = got.action == "reuse" and "reuse" not in self.answer["action"]
        return "reuse_trial" if plain and self.seen.trials else got.action

    def _way_is_fine(self, got):
        """A way is judged where the action needs one."""
        ways = self.answer.get("way")
        needed = got.action in ("go_on", "heat_treat_again")
        return not needed or not ways or got.way in ways


@cache
def written_case(path):
    """A case read as a study is."""
    told = tomllib.loads(path.read_text(encoding="utf-8"))
    rows = validate(SteelRows, told.get("evidence", {}), path.name)
    wishes = validate(VerdictWishes, told.get("verdict", {}), path.name)
    seen = steel_seen_of(rows, wishes).seen
    if wishes.hardness_hrc is not None:
        seen = replace(seen, wanted_hrc=tuple(wishes.hardness_hrc))
    stated = {"blade_hours": wishes.blade_hours, "known_steel_hours": wishes.known_steel_hours}
    losses = SteelLosses(
        no_test=wishes.no_test, **{name: h for name, h in stated.items() if h is not None}
    )
    return WrittenCase(path.stem, seen, wishes.piece, losses, told["answer"])


def decided(case: WrittenCase, tables=None):
    """The program's answer to a case."""
    tables = tables or load_steel_tables()
    return decide(case.seen, weigh_steel(case.seen, tables, piece=case.piece), tables, case.losses)


def missed(paths):
    """Names of the cases that are not answered as a good smith would, as they are met."""
    cases = map(written_case, paths)
    return (case.name for case in cases if case.wrong(decided(case)))
