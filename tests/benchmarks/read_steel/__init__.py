"""Is the page of a found steel borne by what its maker wrote down? A reader of its own."""
