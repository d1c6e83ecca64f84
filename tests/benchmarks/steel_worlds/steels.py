"""Which steels lie in a scrap heap, and what are they made of?

Ranges of composition are those of common grades, from memory; they are not of one standard.
"""

from dataclasses import dataclass, replace

ELEMENTS = ("c", "mn", "si", "cr", "ni", "mo", "v", "w")


@dataclass(frozen=True, slots=True)
class Steel:
    """Hidden make of one piece; percentages by mass.

    `carbon_at_800` and `carbon_per_c` say how much carbon austenite holds beside the carbides of
    a high-alloy steel (None: the rule for plain and low-alloy steel). `secondary_hv` is what a
    temper near 530 °C gives back. `body` is steel, or what is no sound steel.
    """

    name: str
    code: str  # the explanation that is true
    c: float = 0.0
    mn: float = 0.0
    si: float = 0.0
    cr: float = 0.0
    ni: float = 0.0
    mo: float = 0.0
    v: float = 0.0
    w: float = 0.0
    boron: bool = False
    carbon_at_800: float | None = None
    carbon_per_c: float = 0.0
    secondary_hv: float = 0.0
    body: str = "steel"  # steel, grey, white, wrought, sintered, austenitic, ferritic, maraging


@dataclass(frozen=True, slots=True)
class Grade:
    """Ranges from which a steel is drawn: (lowest, highest) of each element."""

    code: str
    c: tuple[float, float]
    mn: tuple[float, float] = (0.4, 0.9)
    si: tuple[float, float] = (0.1, 0.35)
    cr: tuple[float, float] = (0.0, 0.15)
    ni: tuple[float, float] = (0.0, 0.15)
    mo: tuple[float, float] = (0.0, 0.04)
    v: tuple[float, float] = (0.0, 0.0)
    w: tuple[float, float] = (0.0, 0.0)
    boron: bool = False
    carbon_at_800: float | None = None
    carbon_per_c: float = 0.0
    secondary_hv: float = 0.0
    body: str = "steel"


# Carbon in austenite of high-alloy steels: chosen so that hardness as quenched follows the
# makers' curves from memory: 5 % Cr cold-work steel 62 HRC from 925 °C; 12 % Cr cold-work steel
# 58 from 925 and 64 from 1020; 17 % Cr cutlery steel 56 from 950 and 60 from 1040; hot-work steel
# of 5 % Cr 48 from 950 and 54 from 1030; high-speed steel 53 from 950 and 64 from 1200.
GRADES = {
    "mild": Grade("plain_low", (0.05, 0.24)),
    "wire_rod": Grade("plain_low", (0.2, 0.3), mn=(0.6, 1.3)),
    "wrought": Grade("wrought_iron", (0.01, 0.09), mn=(0.0, 0.1), body="wrought"),
    "forty_five": Grade("plain_medium", (0.36, 0.53), mn=(0.55, 0.95)),
    "rebar_hard": Grade("plain_medium", (0.28, 0.48), mn=(0.8, 1.5)),
    "tool_plain": Grade("plain_medium", (0.45, 0.56), mn=(0.5, 0.9)),
    "disc_plain": Grade("plain_high", (0.65, 0.9), mn=(0.5, 0.95)),
    "spring_plain": Grade("plain_high", (0.6, 0.95), mn=(0.5, 0.9)),
    "file": Grade("plain_high", (1.0, 1.3), mn=(0.2, 0.45), cr=(0.0, 0.35)),
    "rail": Grade("plain_high", (0.6, 0.82), mn=(0.8, 1.25)),
    "shear_blade": Grade("plain_high", (0.75, 1.05), mn=(0.2, 0.5)),
    "boron": Grade("low_alloy_medium", (0.25, 0.38), mn=(1.1, 1.5), cr=(0.1, 0.4), boron=True),
    "chrome_moly": Grade(
        "low_alloy_medium", (0.36, 0.46), mn=(0.7, 1.0), cr=(0.8, 1.15), mo=(0.15, 0.28)
    ),
    "nickel_chrome": Grade(
        "low_alloy_medium", (0.3, 0.43), cr=(0.6, 1.0), ni=(1.3, 2.0), mo=(0.15, 0.3)
    ),
    "chrome_vanadium": Grade(
        "low_alloy_medium", (0.42, 0.54), mn=(0.6, 1.0), cr=(0.8, 1.1), v=(0.1, 0.2)
    ),
    "spring_chrome": Grade("low_alloy_high", (0.55, 0.65), mn=(0.7, 1.0), cr=(0.65, 0.95)),
    "spring_silicon": Grade("low_alloy_high", (0.55, 0.65), mn=(0.7, 1.0), si=(1.5, 2.2)),
    "bearing": Grade("low_alloy_high", (0.95, 1.1), mn=(0.25, 0.45), cr=(1.3, 1.6)),
    "saw_nickel": Grade("low_alloy_high", (0.68, 0.82), mn=(0.3, 0.6), ni=(0.5, 2.2)),
    "oil_tool": Grade(
        "low_alloy_high", (0.85, 1.0), mn=(1.0, 1.4), cr=(0.4, 0.6), w=(0.4, 0.6), v=(0.0, 0.2)
    ),
    "chrome_tool": Grade("low_alloy_high", (0.6, 0.9), cr=(0.4, 0.8), v=(0.05, 0.2)),
    "cold_work_5": Grade(
        "air_hardening", (0.95, 1.05), cr=(4.75, 5.5), mo=(0.9, 1.4), v=(0.15, 0.5),
        carbon_at_800=0.36, carbon_per_c=0.0022, secondary_hv=40.0,
    ),
    "cold_work_12": Grade(
        "air_hardening", (1.4, 1.6), cr=(11.0, 13.0), mo=(0.7, 1.1), v=(0.5, 1.1),
        carbon_at_800=0.17, carbon_per_c=0.0023, secondary_hv=50.0,
    ),
    "hot_work_5": Grade(
        "air_hardening", (0.35, 0.42), cr=(4.8, 5.5), mo=(1.1, 1.6), v=(0.4, 1.1),
        carbon_at_800=0.08, carbon_per_c=0.0014, secondary_hv=80.0,
    ),
    "shock_air": Grade(
        "air_hardening", (0.45, 0.55), cr=(3.0, 3.5), mo=(1.3, 1.7),
        carbon_at_800=0.2, carbon_per_c=0.0022, secondary_hv=40.0,
    ),
    "high_speed": Grade(
        "air_hardening", (0.8, 1.1), cr=(3.8, 4.5), mo=(4.5, 9.0), v=(1.0, 2.2), w=(1.5, 6.5),
        carbon_at_800=0.25, carbon_per_c=0.0007, secondary_hv=140.0,
    ),
    "cutlery_13": Grade(
        "stainless_hardening", (0.2, 0.48), cr=(12.5, 14.5), mo=(0.0, 0.5),
        carbon_at_800=0.12, carbon_per_c=0.0019, secondary_hv=10.0,
    ),
    "cutlery_17": Grade(
        "stainless_hardening", (0.5, 1.05), cr=(14.5, 17.5), mo=(0.4, 0.75), v=(0.0, 0.15),
        carbon_at_800=0.13, carbon_per_c=0.0019, secondary_hv=20.0,
    ),
    "stainless_18_8": Grade(
        "stainless_not_hardening", (0.02, 0.08), mn=(1.0, 2.0), cr=(17.5, 19.0), ni=(8.0, 10.5),
        body="austenitic",
    ),
    "stainless_17": Grade(
        "stainless_not_hardening", (0.02, 0.08), cr=(16.0, 18.0), body="ferritic"
    ),
    "grey_iron": Grade("cast_iron", (3.0, 3.6), si=(1.6, 2.6), body="grey"),
    "white_iron": Grade("cast_iron", (2.4, 3.4), si=(0.4, 1.2), cr=(0.0, 3.0), body="white"),
    "case_plain": Grade("surface_hardened", (0.1, 0.22)),
    "case_alloy": Grade(
        "surface_hardened", (0.14, 0.24), mn=(0.7, 1.3), cr=(0.4, 1.2), ni=(0.0, 1.8), mo=(0.0, 0.3)
    ),
    "induction_plain": Grade("surface_hardened", (0.38, 0.55), mn=(0.6, 0.95)),
    "induction_alloy": Grade(
        "surface_hardened", (0.36, 0.46), mn=(0.7, 1.0), cr=(0.8, 1.15), mo=(0.15, 0.28)
    ),
    "manganese": Grade("something_else", (1.0, 1.35), mn=(11.0, 14.0), body="austenitic"),
    "maraging": Grade(
        "something_else", (0.005, 0.03), ni=(17.5, 18.5), mo=(3.0, 5.0), body="maraging"
    ),
    "sintered": Grade("something_else", (0.4, 0.85), mn=(0.1, 0.3), body="sintered"),
    "tungsten_hot_work": Grade(
        "something_else", (0.26, 0.35), cr=(2.5, 3.6), w=(8.5, 10.0), v=(0.3, 0.5),
        carbon_at_800=0.05, carbon_per_c=0.0010, secondary_hv=90.0,
    ),
    "hard_faced": Grade("something_else", (0.15, 0.5), mn=(0.7, 1.4)),
    "bronze_plated": Grade("something_else", (0.08, 0.6)),
}  # fmt: skip

# Two pieces cut from one melt: common practice, no source.
SISTER_SCATTER = 0.02


def drawn_steel(rng, name):
    """One steel of a grade, each element anywhere in its range."""
    grade = GRADES[name]
    made = {}
    for element in ELEMENTS:
        low, high = getattr(grade, element)
        made[element] = low + (high - low) * rng.random()
    return Steel(
        name=name, code=grade.code, boron=grade.boron, carbon_at_800=grade.carbon_at_800,
        carbon_per_c=grade.carbon_per_c, secondary_hv=grade.secondary_hv, body=grade.body, **made,
    )  # fmt: skip


def sister_steel(rng, steel):
    """The same melt once more, within the scatter of two pieces."""
    return replace(
        steel,
        **{e: getattr(steel, e) * float(1 + SISTER_SCATTER * rng.normal()) for e in ELEMENTS},
    )
