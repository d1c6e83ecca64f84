"""The app's entry for `streamlit run app.py`."""

from streamlit.starlette import App

from edgetest.app.guarded import ENTRY, guards
from edgetest.app.taken_zips import routes

app = App(ENTRY, middleware=guards(), routes=routes())
