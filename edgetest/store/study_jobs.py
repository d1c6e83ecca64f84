"""How does a study of a steel get a test of its blades, beside what it holds?"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.heat_treatments import HeatTreatment
from edgetest.store.log_templates import empty_table
from edgetest.store.protocol import load_protocol
from edgetest.store.records import STUDY_FILE, Study, load_study
from edgetest.store.workspace import PHOTOS, change_study, log_path, write_table


def begin_test(
    folder: str | Path,
    protocol_id: str,
    *,
    blades: Sequence[Mapping[str, Any]],
    heat_treatments: Sequence[Mapping[str, Any]] = (),
    control: str | None = None,
) -> Study:
    """Give a study that names no protocol yet one, with the blades that are tested and a log.

    Parameters
    ----------
    folder : str or Path
        Of the study.
    protocol_id : str
        A protocol that comes with the program, or a .toml file in `folder`.
    blades, heat_treatments : sequence of mapping
        Tables as in study.toml; those that the study holds under their name stay as they are.
    control : str, optional
        Id of the control blade.

    Raises
    ------
    UnusableInput
        If the study has a protocol already, or naming every fault of what was given.
    """
    folder = Path(folder)
    rules = load_protocol(protocol_id, folder)
    added = [dict(blade) for blade in blades]
    if control is not None and control not in [blade["id"] for blade in added]:
        added.append({"id": control, "title": "control blade"})

    def grown(now: Study) -> Study:
        if now.protocol:
            raise UnusableInput(
                "the study has a protocol already", STUDY_FILE, "begin a study of its own"
            )
        held = [blade.id for blade in now.blades]
        known = [each.id for each in now.heat_treatments]
        blade_tables = [Blade.model_validate(each) for each in added if each["id"] not in held]
        treated = [
            HeatTreatment.model_validate(each)
            for each in heat_treatments
            if each["id"] not in known
        ]
        return now.model_copy(
            update={
                "protocol": protocol_id,
                "blades": (*now.blades, *blade_tables),
                "heat_treatments": (*now.heat_treatments, *treated),
                "control": control or now.control,
            }
        )

    grown(load_study(folder))  # what is wrong is told before anything is written
    (folder / PHOTOS).mkdir(exist_ok=True)
    if log_path(folder, rules.log) is None:
        table, records = empty_table([blade["id"] for blade in added], rules)
        write_table(folder / f"{table}.csv", records)
    return change_study(folder, grown)  # at the end: without its log the study would not open
