"""The command that shows what another command's JSON holds: schema."""

import json
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.errors import UnusableInput, nearest

FOLDER = Path(__file__).parents[1] / "schemas"
SHARED = "shared"


def schema_names():
    """The commands that have a JSON Schema, and "fault" for what each prints of a fault."""
    return sorted(path.stem for path in FOLDER.glob("*.json") if path.stem != SHARED)


def schema_of(name):
    """The JSON Schema (draft 2020-12) of a command's JSON, with all that it refers to.

    Raises
    ------
    UnusableInput
        If there is none of this name.
    """
    names = schema_names()
    if name not in names:
        near = nearest(name, names)
        mend = f"did you mean {near}?" if near else f"there are: {', '.join(names)}"
        raise UnusableInput(f'there is no schema "{name}"', "edgetest schema", mend)
    return {**_read(name), "$defs": {SHARED: _read(SHARED)}}


def _read(name):
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


@root.command("schema", "edgetest schema compare > compare.schema.json\n  edgetest schema")
@click.argument("command", required=False)
@root.as_json
def schema_command(command, json_):
    """What the JSON of a command holds, as a JSON Schema; without COMMAND, which there are.

    The number at the end of a schema's $id changes where a field or its meaning goes away; a
    field that is added leaves it as it is. JSON: the schema; without COMMAND {schemas: [{command,
    id}]}.
    """
    if command is not None:
        root.say(schema_of(command), "", True)
        return
    listed = [{"command": name, "id": _read(name)["$id"]} for name in schema_names()]
    width = max(len(each["command"]) for each in listed)
    lines = [f"{each['command']:{width}}  {each['id']}" for each in listed]
    root.say({"schemas": listed}, "\n".join(lines), json_)
