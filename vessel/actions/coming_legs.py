"""Asking, at the door, for the coming legs to be judged again after a change to the boat, her people or the water.

The task lives in the app above this one, so it is named, like the chapters of the handover.
"""

from datetime import datetime

from vessel.actions.due_work import ask_for
from vessel.models import DueWork

TASK = "readiness.tasks.judge_coming_legs"


def ask_to_judge(*, vessel_id: int, at: datetime) -> DueWork:
    """Ask once for the vessel's coming legs to be judged; asked for again while it runs, it runs once more."""
    return ask_for(task=TASK, arguments={"vessel_id": vessel_id}, key=f"judge vessel {vessel_id}", at=at)
