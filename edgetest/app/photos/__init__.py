"""Pages on photographs: measured, looked at, set right; open `photographs_page`."""
