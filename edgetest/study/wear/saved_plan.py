"""A plan written into its study: run order, sealed key, and the log's empty rows."""

from itertools import product
from pathlib import Path

from edgetest.store.files import write_atomic
from edgetest.store.log_templates import photo_columns
from edgetest.store.records import STUDY_FILE
from edgetest.store.workspace import change_study, log_path, write_table
from edgetest.study.wear.study_looks import kept_looks
from edgetest.wear.plan.looks_plan import looks_table

KEY_FILE = "sealed_key.json"


def save_plan(source, made, key, *, blinded=False):
    """Write the plan into the study: run order, sealed key, and the log's empty rows.

    `made` is a `Plan` or a `RunOrder`. A log that holds readings is left as it is. `blinded` is
    kept with the plan: the bench then shows codes in place of the blades' names.

    Returns
    -------
    list of Path
        What was written.
    """
    folder = source.path
    order = [[run.block, run.blade] for run in made.runs]
    table = {"seed": made.seed, "order": order, "fingerprint": made.fingerprint}
    if blinded:
        table["blinded"] = True
    asked = getattr(made, "looks", None)

    def planned(now):
        looks = kept_looks(now, asked and asked.looks)
        return now.model_copy(
            update={"plan": {**table, "looks": looks_table(looks)} if looks else table}
        )

    change_study(folder, planned)
    written = [Path(folder) / STUDY_FILE]
    written.append(write_atomic(Path(folder) / KEY_FILE, key + "\n"))
    if source.protocol.log == "log" and not any(
        row.readings or row.photo for row in source.log.rows
    ):
        path = log_path(folder)
        path = path if path is not None and path.suffix == ".csv" else Path(folder) / "log.csv"
        written.append(write_table(path, empty_log(source.protocol, made.runs)))
    return written


def empty_log(rules, runs):
    """Heading and one row for every reading of every run, in the order they are taken."""
    names = [rule.name for rule in rules.readings]
    photo = photo_columns(names)
    heading = ["blade", "block", "cuts", "station_mm", *names, *photo, "operator", "mishap",
               "exclude", "note"]  # fmt: skip
    of_block: dict[str, list] = {}
    for run in runs:
        of_block.setdefault(run.block, []).append(run)
    starts = [
        [run.blade, block, str(stage), place]
        for block, members in of_block.items()
        for stage, run, place in product(rules.stages, members, _places(rules))
    ]
    return [heading, *(row + [""] * (len(heading) - len(row)) for row in starts)]


def _places(rules):
    """Stations along the edge that a stage reads, and "" for what is read of the whole blade."""
    stationed = {rule.at_stations for rule in rules.readings}
    places = [f"{place:g}" for place in rules.stations_mm] if True in stationed else []
    return ["", *places] if False in stationed or not places else places
