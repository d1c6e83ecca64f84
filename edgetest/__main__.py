"""`python -m edgetest` does what `edgetest` does."""

from edgetest.cli import main

main()
