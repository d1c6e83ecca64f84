"""Pages on photographs: measured, looked at, set right, and their scale; open `photographs_page`."""
