"""Which woods of his own has the maker measured? `[[woods]]` of study.toml."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from edgetest.store.checking import Quantity, Record, refuse


class OwnWood(Record):
    """A wood by its measured density, and its side hardness where that was measured.

    `moisture_pct` is the water it held when it was weighed and tested.
    """

    name: Annotated[str, Field(min_length=1)]
    kind: Literal["hardwood", "softwood"]
    density_kg_m3: Annotated[float, Quantity("kg_m3", above=0)]
    moisture_pct: Annotated[float, Quantity("pct", least=0)]
    hardness_n: Annotated[float, Quantity("n", above=0)] | None = None
    note: str = ""

    @model_validator(mode="after")
    def _possible(self) -> "OwnWood":
        if not 80 <= self.density_kg_m3 <= 1500:
            raise refuse(
                f"{self.density_kg_m3:g} kg/m³ is no wood's density",
                "give kg/m³ as weighed, between 80 and 1500",
            )
        if self.moisture_pct > 250:
            raise refuse(
                f"{self.moisture_pct:g} % moisture is more than wood holds",
                "give water in percent of the oven-dry mass",
            )
        return self
