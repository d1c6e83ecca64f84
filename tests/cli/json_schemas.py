"""Holds what a command prints with --json against the schema that comes with the program."""

import json
from functools import cache

from jsonschema_rs import Draft202012Validator

from edgetest.cli.schema_command import schema_of


@cache
def validator(name):
    """What checks documents of one command."""
    return Draft202012Validator(schema_of(name))


def hold(command, out):
    """Assert that a command's JSON is as its schema says."""
    document = json.loads(out)
    fault = isinstance(document, dict) and set(document) == {"fault"}
    for error in validator("fault" if fault else command).iter_errors(document):
        raise AssertionError(f"{command}, {error.instance_path}: {error.message[:300]}")
