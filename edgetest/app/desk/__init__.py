"""Pages of the desk: studies, plan, log, protocols and the guide; open `studies_page`."""
