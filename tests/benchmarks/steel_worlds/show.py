"""What does a world look like? A few pieces in plain words: hidden truth beside what was seen.

Run: python -m tests.benchmarks.steel_worlds.show WORLD --count 3
"""

import argparse
from dataclasses import fields

from tests.benchmarks.steel_worlds.salvage import WORLDS, case

QUIET = {"id", "piece", "coupon", "heat", "hardness", "tempers", "count", "u_hrc", "carbon_u_pct"}


def told(one):
    """The words of an observation that were written, without those at rest."""
    words = []
    for field in fields(one):
        value = getattr(one, field.name)
        if field.name not in QUIET and value not in (None, False) and value != field.default:
            words.append(f"{field.name.replace('_', ' ')} {str(value).replace('_', ' ')}")
    return ", ".join(words)


def reading_told(one):
    """One reading as a maker would say it."""
    if not one.by_files:
        text = f"{one.low_hrc:g}"
    elif one.low_hrc is None:
        text = f"<{one.high_hrc:g}"
    elif one.high_hrc is None:
        text = f">{one.low_hrc:g}"
    else:
        text = f"{one.low_hrc:g}-{one.high_hrc:g}"
    return text + {"skin": " on the skin", "below": " below", "not_stated": ""}[one.where]


def readings_told(readings):
    """All readings of one place in the log."""
    return "; HRC " + ", ".join(reading_told(r) for r in readings) if readings else ""


def in_words(made):
    """Hidden truth, then what was seen."""
    piece, steel, truth = made.piece, made.piece.steel, made.truth
    makeup = " ".join(
        f"{e.capitalize()} {getattr(steel, e):.2f}"
        for e in ("c", "mn", "si", "cr", "ni", "mo", "v", "w")
        if getattr(steel, e) >= 0.1 or e == "c"
    )
    good = (
        f"FIT: {truth.medium} from {truth.heat_c:.0f} °C, temper {truth.temper_c:.0f} °C, "
        f"{truth.hrc:.0f} HRC, life {truth.life:.2f} of the known blade"
        if truth.fit
        else f"UNFIT: {truth.why_not} (hardest {truth.hardest_hrc:.0f} HRC)"
    )
    skin = f", skin {piece.skin_hrc:.0f} HRC to {piece.skin_mm:.1f} mm" if piece.skin_mm else ""
    lines = [
        f"{made.world} seed {made.seed} number {made.number}: for a {made.seen.use}",
        f"  hidden: {steel.name} ({made.explanation}), {makeup}; {piece.origin}, "
        f"core {piece.core_hrc:.0f} HRC{skin}, carbon lost to {piece.decarb_mm:.2f} mm",
        f"  truth:  {good}; fit in the lot {sum(made.lot_fit)} of {len(made.lot_fit)}",
    ]
    for p in made.seen.pieces:
        lines.append(f"  piece {p.id}: {told(p)}{readings_told(p.hardness)}")
    for heat, hidden in zip(made.seen.heats, made.bench.made, strict=False):
        lines.append(
            f"  heat {heat.coupon}: {told(heat)}{readings_told(heat.hardness)} "
            f"[truly {hidden.heat[0]:.0f} °C, {hidden.section_mm:.1f} mm]"
        )
        for temper in heat.tempers:
            lines.append(f"    temper {told(temper)}{readings_told(temper.hardness)}")
    for trial in made.seen.trials:
        lines.append(f"  trial {told(trial)}")
    return "\n".join(lines)


def main():
    """Print a few cases, and the share of fit pieces of every world."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("world", choices=tuple(WORLDS))
    parser.add_argument("--count", type=int, default=3)
    parser.add_argument("--seed", type=int, default=2)
    parser.add_argument("--shares", type=int, default=400, help="cases for the shares of fit")
    asked = parser.parse_args()
    for number in range(asked.count):
        print(in_words(case(asked.world, asked.seed, number)), end="\n\n")
    for name, world in WORLDS.items():
        fit = sum(case(name, asked.seed, i).fit for i in range(asked.shares))
        print(f"{name}: {100 * fit / max(asked.shares, 1):.0f} % fit ({world.title})")


if __name__ == "__main__":
    main()
