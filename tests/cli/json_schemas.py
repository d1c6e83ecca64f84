"""Holds what a command prints with --json against the schema that comes with the program."""

import json
from functools import cache

from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from edgetest.cli.schema_command import schema_of

ENDS = 8  # of a long list so many at either end are looked at


@cache
def validator(name):
    """What checks documents of one command."""
    schema = schema_of(name)
    resource = DRAFT202012.create_resource(schema)  # looked through here, not at every reference
    return Draft202012Validator(schema, registry=(resource @ Registry()).crawl())


def hold(command, out):
    """Assert that a command's JSON is as its schema says."""
    document = json.loads(out)
    fault = isinstance(document, dict) and set(document) == {"fault"}
    for error in validator("fault" if fault else command).iter_errors(_shortened(document)):
        raise AssertionError(f"{command}, {error.json_path}: {error.message[:300]}")


def _shortened(part):
    """The document without the middle of its long lists."""
    if isinstance(part, dict):
        return {key: _shortened(each) for key, each in part.items()}
    if isinstance(part, list):
        ends = part[:ENDS] + part[-ENDS:] if len(part) > 2 * ENDS else part
        return [_shortened(each) for each in ends]
    return part
