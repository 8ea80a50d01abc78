from vessel.models.due_work import DueWork

__all__ = ["DueWork"]
