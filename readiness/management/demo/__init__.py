"""The demo: an invented boat on an invented coast, every date counted from the moment it is loaded."""
