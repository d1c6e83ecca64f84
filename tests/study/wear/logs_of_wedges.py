"""Logs of worn wedges with known lives, invented."""

import numpy as np

STAGES = (0, 10, 25, 50, 100, 200)


def log_of(tmp_path, text, name="log.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def wedge_log(lives, fresh, limit=12.0, *, rng=None, cv=0.01, stages=STAGES):
    """A log of worn wedges: `lives` by (treatment, blade), `fresh` widths by treatment."""
    rng = rng or np.random.default_rng(3)
    lines = ["blade,heat_treatment,cuts,edge_width_um"]
    for (treatment, blade), life in lives.items():
        w0 = fresh[treatment]
        for cuts in stages:
            width = (w0**2 + (limit**2 - w0**2) * cuts / life) ** 0.5
            width *= np.exp(cv * rng.standard_normal())
            lines.append(f"{blade},{treatment},{cuts},{width:.4f}")
    return "\n".join(lines) + "\n"
