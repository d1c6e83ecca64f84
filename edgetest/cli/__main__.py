"""`python -m edgetest.cli` does what `edgetest` does."""

from edgetest.cli import main

main()
