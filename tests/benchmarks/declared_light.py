"""Does the bracket of W30 hold, and is a round crest ever called keen? A row a kind, worse first.

    python -m tests.benchmarks.declared_light round,corners,plain,narrow,ring,dome --half judge

The pictures are those of `tests.benchmarks.pictures`, their light declared as it was: direction
and both apertures; the roughness is not told. `--lamp unknown` leaves the lamp's aperture out.
The line is what was measured over W30: as small a part of a round crest shines.
"""

import argparse

import numpy as np

from edgetest.photo.apex.apex_light import Lighting, in_light, wrong_light
from edgetest.photo.apex.apex_result import refused
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture

DIRECTIONS = {"on-axis": "on-axis", "ring": "ring", "dome": "dome", "sectors": "two sectors"}


def declared(one, lamp_known=True):
    """The light of a made picture as a person declares it."""
    light = one.lighting
    lamp = light.na_lamp if lamp_known else None
    return Lighting(DIRECTIONS[light.kind], round(light.na_lens, 2), lamp and round(lamp, 2))


def measured(one, lighting):
    """A picture measured in its declared light, as the commands do it."""
    reason = wrong_light(lighting)
    if reason is not None:
        return in_light(refused(reason), lighting)
    light = read_picture(one.data)
    return in_light(measure_apex(light, one.um_per_px), lighting)


def row_of(kind, half, count, lamp_known):
    """What one kind's pictures gave."""
    parity = {"tune": 0, "judge": 1}[half]
    refusals, held, line, wide, keen = 0, [], [], [], 0
    for number in range(count):
        one = picture(kind, 2 * number + parity)
        seen = measured(one, declared(one, lamp_known))
        if seen.status == "refused":
            refusals += 1
            continue
        w30, truth = seen.w30_um, one.truth.w30_um
        held.append(w30.low <= truth <= w30.high)
        shown = seen.below_um if seen.width_um is None else seen.width_um.mean
        line.append(shown / truth)
        wide.append(w30.high / truth)
        keen += "round up to" not in seen.summary()
    if not held:
        return f"| {kind} | 0 / {refusals} | | | | |"
    spread = " to ".join(f"{value:.2f}" for value in np.percentile(line, [0, 50, 100]))
    return (
        f"| {kind} | {len(held)} / {refusals} | {sum(held)} of {len(held)} | {spread} | "
        f"{np.median(wide):.1f} | {keen} |"
    )


def main():
    """Print the table."""
    ask = argparse.ArgumentParser()
    ask.add_argument("kinds")
    ask.add_argument("--half", choices=("tune", "judge"), default="judge")
    ask.add_argument("--count", type=int, default=30)
    ask.add_argument("--lamp", choices=("known", "unknown"), default="known")
    asked = ask.parse_args()
    print("| kind | measured / refused | W30 within | line over W30, least to most | upper end over W30, median | called keen |")  # fmt: skip  # noqa: E501
    print("| --- | --- | --- | --- | --- | --- |")
    for kind in asked.kinds.split(","):
        print(row_of(kind, asked.half, asked.count, asked.lamp == "known"), flush=True)


if __name__ == "__main__":
    main()
