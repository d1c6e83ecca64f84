"""Pages of the desk: studies, plan, log, protocols and the guide.

Open `studies_page` first; `log_page` corrects readings, `protocol_form` writes a protocol.
"""
