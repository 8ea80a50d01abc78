"""Pictures of the work, drawn on the server from plain data."""
