"""Command line: the same job as the page, in a terminal. No logic of its own, and quick to start."""
