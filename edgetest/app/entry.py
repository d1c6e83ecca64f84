"""What the server of an installed copy runs; the repository's app.py does the same."""

from edgetest.app.navigation import run_app

run_app()
