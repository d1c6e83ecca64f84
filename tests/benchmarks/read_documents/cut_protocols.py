"""What do the cut protocols ask for? Written down by hand from their text in protocols/*.toml."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Asked:
    """What one protocol asks for, as far as a log or a study can show whether it was done."""

    stages: tuple[int, ...]
    stations: tuple[int, ...]
    main: str
    limit: float
    angle: float
    repeats: dict
    medium: str
    finish: str
    batch: str
    ladder: tuple[str, ...] = ()
    ends_alone: bool = False  # all places are asked for at the first and the last stage alone


GRADES = ("shaves", "push-cuts newsprint", "slices copy paper", "tears copy paper", "will not bite")
SHAVINGS = (
    "shaves", "clean shaving, glossy wood", "clean shaving, dull wood", "torn shaving",
    "will not start a shaving",
)  # fmt: skip
WIDTH = {"edge_width_um": 1, "sever_force_gf": 5, "grade": 1}
LAST_STROKES = "same stone for all blades, last strokes edge leading"
ASKED = {
    "sisal_rope": Asked(
        (0, 10, 25, 50, 100, 150, 200, 300, 400), (20, 40, 60), "edge_width_um", 12, 15, WIDTH,
        "sisal rope", LAST_STROKES + ", about 1000 grit",
        "rolls of one shop differ on the same day", GRADES, ends_alone=True,
    ),
    "manila_rope": Asked(
        (0, 10, 20, 30, 45, 60, 80, 100, 130, 160, 200, 250, 300), (20, 40, 60), "edge_width_um",
        10, 15, WIDTH, "manila", "one stone for all blades",
        "cut blades of each heat treatment alike", GRADES,
    ),
    "corrugated_cardboard": Asked(
        (0, 10, 25, 50, 100, 150, 200, 300), (15, 30, 45), "edge_width_um", 10, 15, WIDTH,
        "corrugated cardboard", LAST_STROKES, "one bundle is one batch", GRADES,
    ),
    "whittling_hardwood": Asked(
        (0, 25, 50, 100, 200, 300, 400, 600), (15, 30, 45), "edge_width_um", 10, 12.5, WIDTH,
        "seasoned hardwood", LAST_STROKES, "one board is one batch", SHAVINGS,
    ),
    "thread_severing": Asked(
        (0, 2, 6, 14, 30, 62, 126), (30,), "sever_force_gf", 400, 15, {"sever_force_gf": 10},
        "hemp", LAST_STROKES, "one roll of rope and one reel of thread are one batch",
    ),
}  # fmt: skip
