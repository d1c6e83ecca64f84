"""Pages of the app: they read widgets, call `study`, and show."""
