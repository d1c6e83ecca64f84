"""Which photographs of a sample run do not travel with the program, and how do they get here?

They would be most of what is installed. They are rendered again from the truth that travels, into
the user's copy of the run, the same to the last bit as those of the repository.
"""

import json
from contextlib import closing
from pathlib import Path

from edgetest.errors import UnusableInput

TRUTH = "truth.json"
MICROMETER = "micrometer"  # as truth.json calls it
RENDERED = ("billhook_temper_study",)


def photographs_to_render(source):
    """Truth of each photograph of a sample run that is not in its folder, by its name.

    Parameters
    ----------
    source : Path
        The run as it travels.
    """
    if source.name not in RENDERED or (source / "photos").is_dir():
        return {}
    try:
        told = json.loads((source / TRUTH).read_text(encoding="utf-8"))
        return told["photos"] | {f"{MICROMETER}.jpg": told[MICROMETER]}
    except (OSError, ValueError, KeyError, TypeError) as fault:
        raise UnusableInput(
            "cannot be read, so that its photographs cannot be rendered",
            str(source / TRUTH),
            "install the program again",
        ) from fault


def render_photographs(truths, folder, *, workers=2, progress=None):
    """Write each photograph into `folder`, which is made.

    Parameters
    ----------
    truths : dict
        From `photographs_to_render`.
    folder : Path
    workers : int
        Processes.
    progress : callable(done, total), optional
        What it raises ends the work.
    """
    from joblib import Parallel, delayed

    folder.mkdir()
    run = Parallel(n_jobs=max(1, workers), return_as="generator_unordered", batch_size=4)
    with closing(run(delayed(_rendered)(*each) for each in truths.items())) as coming:
        for done, (name, jpeg) in enumerate(coming, 1):
            Path(folder / name).write_bytes(jpeg)
            if progress:
                progress(done, len(truths))


def _rendered(name, truth):
    """Name and bytes of one photograph, in a process of its own."""
    from edgetest.photo.render.rope_run import rendered_again

    return name, rendered_again(name, truth)
