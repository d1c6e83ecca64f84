"""Every command's JSON is described by a schema that comes with the program, and is as it says.

The fixture `run` holds every document of the other tests against its schema too.
"""

import json
import shutil

import pytest
from jsonschema_rs import ValidationError, meta

from edgetest.cli.root import edgetest
from edgetest.cli.schema_command import FOLDER, schema_names, schema_of
from edgetest.store.places import shipped
from tests.cli.json_schemas import hold, validator

JSON_COMMANDS = sorted(
    name for name, command in edgetest.commands.items()
    if any("--json" in option.opts for option in command.params)
)  # fmt: skip
RUNS = ("billhook_temper_study", "camp_hatchet_study", "plough_disc_study")
GRADES = """blade,heat_treatment,cuts,pass_fail
A1,soft,50,pass
A1,soft,75,fail
A2,soft,50,pass
A2,soft,100,fail
B1,hard,100,pass
B1,hard,150,fail
B2,hard,100,pass
B2,hard,200,fail
"""


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    """Studies as `new` makes them, and a log of grades."""
    from edgetest.cli import main

    root = tmp_path_factory.mktemp("bare")
    for name, *begun in (
        ("rope", "--protocol", "sisal_rope", "--blade", "H1=hard", "--blade", "S1=soft"),
        ("billets", "--protocol", "billet_chop", "--blade", "H1", "--control", "C1"),
        ("steel", "--steel-for", "knife"),
    ):
        with pytest.raises(SystemExit):
            main(["new", str(root / name), *begun])
    (root / "grades.csv").write_text(GRADES, encoding="utf-8")
    return root


def subschemas(part):
    """Every schema within a schema."""
    if isinstance(part, dict):
        yield part
        for key, each in part.items():
            if key != "properties":
                yield from subschemas(each)
        for each in part.get("properties", {}).values():
            yield from subschemas(each)
    elif isinstance(part, list):
        for each in part:
            yield from subschemas(each)


def left_open(schema):
    """Objects of a schema that take any further field."""
    return [
        each for each in subschemas(schema)
        if "object" in each.get("type", "") and each.get("additionalProperties", True) is True
    ]  # fmt: skip


def test_every_command_has_a_schema_and_every_schema_a_command():
    assert schema_names() == sorted([*JSON_COMMANDS, "fault"])


@pytest.mark.parametrize("name", [*JSON_COMMANDS, "fault"])
def test_a_schema_is_sound_versioned_and_closed(name):
    schema = schema_of(name)
    assert meta.is_valid(schema)
    assert schema["$id"] == f"urn:edgetest:schema:{name}:1"
    own = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
    assert len(left_open(own)) == (1 if name == "schema" else 0)  # that one is a schema itself


def test_what_several_commands_hold_is_closed_but_for_cells_as_typed():
    shared = json.loads((FOLDER / "shared.json").read_text("utf-8"))
    found = left_open(shared["$defs"])
    assert {each["description"] for each in found} == {
        "Cells by column, or facts by key, as typed."
    }


@pytest.mark.parametrize("name", RUNS)
def test_the_sample_runs_are_as_their_schemas_say(run, name, tmp_path):
    study = tmp_path / name
    shutil.copytree(shipped("sample_runs") / name, study)
    codes = [run(command, study, "--json")[0] for command in ("check", "chop", "case", "history")]
    assert codes[0] == codes[3] == 0
    if name == "plough_disc_study":
        found = json.loads(run("compare", study, "--json")[1])
        assert found["lives"] is None
        with pytest.raises(AssertionError, match="'news' was unexpected"):
            hold("compare", json.dumps(found | {"news": 1}))


@pytest.mark.parametrize("name", ["rope", "billets", "steel"])
def test_bare_studies_are_as_their_schemas_say(run, bare, name):
    for command in ("check", "fit", "compare", "chop", "verdict", "case", "report", "history"):
        code, out, _ = run(command, bare / name, "--json")
        assert out
        assert code == 0 or "fault" in json.loads(out)
    assert run("undo", bare / name, "--dry-run", "--json")[0] == 0
    assert run("plan", bare / name, "--dry-run", "--json")[0] in (0, 2)


def test_graded_lives_have_the_comparison_s_own_schema(run, bare):
    found = json.loads(run("compare", bare / "grades.csv", "--json")[1])
    assert [life["blade"] for life in found["lives"]["blades"]] == ["A1", "A2", "B1", "B2"]
    assert set(found) == set(schema_of("compare")["required"])
    assert run("fit", bare / "grades.csv", "--json")[0] == 0


def test_a_field_without_a_schema_is_found_at_any_depth(run, bare):
    found = json.loads(run("check", bare / "rope", "--json")[1])
    found["blades"][0]["colour"] = "straw"
    with pytest.raises(ValidationError, match="colour"):
        validator("check").validate(found)


def test_the_command_prints_a_schema_that_needs_nothing_else(run, answer):
    code, out, _ = run("schema", "compare")
    assert code == 0
    schema = json.loads(out)
    references = {each["$ref"] for each in subschemas(schema) if "$ref" in each}
    assert {ref.partition("#")[0] for ref in references} == {schema["$defs"]["shared"]["$id"]}
    assert {ref.rpartition("/")[2] for ref in references} <= set(schema["$defs"]["shared"]["$defs"])
    assert [each["command"] for each in answer("schema")["schemas"]] == schema_names()
    code, _, err = run("schema", "compere")
    assert (code, err) == (
        2,
        'edgetest schema: there is no schema "compere"; did you mean compare?\n',
    )


def test_a_word_that_is_no_command_is_a_fault_as_its_schema_says(run):
    code, out, _ = run("polish", "--json")
    assert code == 2
    assert "polish" in json.loads(out)["fault"][0]["what"]
