"""The password of the journeys' owner."""

PASSWORD = "grey gulls over the bar"
