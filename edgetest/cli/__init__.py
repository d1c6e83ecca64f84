"""The command line: a command is parse, one call into `study`, print."""

from edgetest.cli import chopping, photographs, steel, studies, wear
from edgetest.cli.root import main

__all__ = ["chopping", "main", "photographs", "steel", "studies", "wear"]
