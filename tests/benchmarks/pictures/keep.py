"""How do several judges use the same pictures without making them again? A folder of kept ones.

    python -m tests.benchmarks.pictures.keep DIR KIND FIRST LAST

makes the pictures of a kind (or of several, with commas between them, or of ``all``) for the seeds
FIRST to LAST and keeps each as a file beside its truth. What is there already stays as it is. The
kinds of `sequence_kinds` go by 'survey NAME' and 'stack NAME'; all their frames lie in one file.
Only open folders that you filled yourself: the truths are pickled.
"""

import argparse
import pickle
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import cv2

from tests.benchmarks.pictures.kinds import KINDS, Picture, picture
from tests.benchmarks.pictures.sequence_kinds import Taken, stacked, surveyed
from tests.benchmarks.pictures.sequences import STACKS, SURVEYS

SEQUENCES = {
    **{f"survey {name}": (surveyed, name) for name in (*SURVEYS, "repeating")},
    **{f"stack {name}": (stacked, name) for name in STACKS},
}


def _paths(folder, kind, seed):
    place = Path(folder) / kind.replace(" ", "_")
    return place, place / f"{seed:05d}.pickle"


def keep(folder: str | Path, kind: str, seed: int) -> bool:
    """Make a picture and keep it; False where it is kept already."""
    place, truth = _paths(folder, kind, seed)
    if truth.exists():
        return False
    place.mkdir(parents=True, exist_ok=True)
    if kind in SEQUENCES:
        maker, name = SEQUENCES[kind]
        bare: Picture | Taken = maker(name, seed)
    else:
        made = picture(kind, seed)
        suffix = "png" if made.data.startswith(b"\x89PNG") else "jpg"
        (place / f"{seed:05d}.{suffix}").write_bytes(made.data)
        bare = replace(made, data=b"")
    half = truth.with_suffix(".half")
    half.write_bytes(pickle.dumps(bare))
    half.rename(truth)  # a truth is there only when it is whole
    return True


def kept(folder: str | Path, kind: str, parity: int | None = None) -> Iterator[Picture | Taken]:
    """Kept pictures of a kind by seed; parity 0 gives the even seeds (tuning), 1 the odd ones."""
    place, _ = _paths(folder, kind, 0)
    for truth in sorted(place.glob("*.pickle")):
        if parity is None or int(truth.stem) % 2 == parity:
            yield kept_one(folder, kind, int(truth.stem))


def kept_one(folder: str | Path, kind: str, seed: int) -> Picture | Taken:
    """The picture of a seed, made and kept where the folder has none."""
    keep(folder, kind, seed)
    _, truth = _paths(folder, kind, seed)
    bare = pickle.loads(truth.read_bytes())
    if kind in SEQUENCES:
        return bare
    (file,) = (p for suffix in ("jpg", "png") if (p := truth.with_suffix(f".{suffix}")).exists())
    return replace(bare, data=file.read_bytes())


def main(words):
    told = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    told.add_argument("folder")
    told.add_argument("kind", help=f"all, or of: {', '.join((*KINDS, *SEQUENCES))}")
    told.add_argument("first", type=int)
    told.add_argument("last", type=int)
    given = told.parse_args(words)
    cv2.setNumThreads(1)
    for kind in (*KINDS, *SEQUENCES) if given.kind == "all" else given.kind.split(","):
        start, made = time.perf_counter(), 0
        for seed in range(given.first, given.last + 1):
            made += keep(given.folder, kind, seed)
        print(f"{kind}: {made} made in {time.perf_counter() - start:.0f} s", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
