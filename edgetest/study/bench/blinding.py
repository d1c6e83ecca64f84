"""Names on the screen: a blade's own, or its code where the study is blinded."""

from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.wear.plan.run_order import open_key

KEY_FILE = "sealed_key.json"


def is_blinded(study):
    """Whether the plan asks that codes stand in for the blades' names."""
    return bool((study.plan or {}).get("blinded"))


def shown_names(source):
    """What the screen calls each blade.

    Returns
    -------
    dict of str to str
        Blade to its code where the study is blinded, else to itself.

    Raises
    ------
    UnusableInput
        If the study is blinded and its key is missing or not the one that was sealed.
    """
    study = source.study
    if not is_blinded(study):
        return {blade.id: blade.id for blade in study.blades}
    path = Path(source.path) / KEY_FILE
    if not path.is_file():
        raise UnusableInput(
            "the study is blinded and its key is not here, so no code can be told from another",
            where=KEY_FILE,
            mend="put the key back into the study's folder, or take `blinded` out of [plan] in "
            "study.toml and go on with the blades' names",
        )
    key = path.read_text(encoding="utf-8").rstrip("\n")
    codes = open_key(key, str((study.plan or {}).get("fingerprint", "")))
    unknown = [blade.id for blade in study.blades if blade.id not in codes]
    if unknown:
        raise UnusableInput(
            f"the key has no code for {', '.join(unknown)}",
            where=KEY_FILE,
            mend="blades that came later need a new plan, or take `blinded` out of [plan]",
        )
    return {blade.id: codes[blade.id] for blade in study.blades}
