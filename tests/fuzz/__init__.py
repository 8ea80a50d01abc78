"""Hostile inputs by the thousand for everything that reads what a stranger wrote: `python -m tests.fuzz --help`."""
