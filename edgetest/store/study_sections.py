"""Which keys may stand in the sections of study.toml that the program keeps for itself?"""

from typing import Any, Literal

from edgetest.store.checking import Record


class PlanTable(Record):
    """The `[plan]` section of study.toml, as `edgetest plan` writes it."""

    seed: Any = None
    order: Any = None
    looks: Any = None
    sealed: Any = None
    unsealed: Any = None
    codes: Any = None
    added_after: Any = None
    blinded: Any = None  # these two stand in studies of an earlier version
    fingerprint: Any = None


class Settings(Record):
    """The `[document]` section of study.toml."""

    mark: str = ""
    customer: str = ""
    paper: Literal["a4", "us-letter"] = "a4"
    units: Literal["metric", "inch", "both"] = "metric"
    signature: bool = False
    care: tuple[str, ...] = ()
    note: str = ""
    headline_wood: str = ""  # of a chopper: a wood, a size, or both: "green hazel 47"
    photographs: tuple[str, ...] = ()
    photograph_table: Literal["aside", "inside"] = "aside"
