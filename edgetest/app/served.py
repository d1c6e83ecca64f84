"""What the server of an installed copy runs; the repository's app.py does the same."""

from streamlit.starlette import App

from edgetest.app.guarded import ENTRY, guards
from edgetest.app.taken_zips import routes

app = App(ENTRY, middleware=guards(), routes=routes())
