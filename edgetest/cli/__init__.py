"""The command line: a command is parse, one call into `study`, print.

Open `root` first: it holds what every command does, faults and `--json` included.
"""

from edgetest.cli import (
    chop_commands,
    crest_command,
    export_command,
    list_commands,
    measure_command,
    photo_commands,
    profile_command,
    record_commands,
    report_command,
    schema_command,
    seal_command,
    shop_command,
    steel_commands,
    study_commands,
    tone_command,
    validate_command,
    wear_commands,
    workers_command,
)
from edgetest.cli.root import main

__all__ = [
    "chop_commands",
    "crest_command",
    "export_command",
    "list_commands",
    "main",
    "measure_command",
    "photo_commands",
    "profile_command",
    "record_commands",
    "report_command",
    "schema_command",
    "seal_command",
    "shop_command",
    "steel_commands",
    "study_commands",
    "tone_command",
    "validate_command",
    "wear_commands",
    "workers_command",
]
