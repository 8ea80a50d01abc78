from maintenance.models.defect import Defect, Effect, MendBy
from maintenance.models.job import DONE, ENDED, Job, JobNeed, JobPart, JobStatus, Opens, WorkPlace
from maintenance.models.service import ServiceDone, ServiceItem
from maintenance.models.spare import Spare

__all__ = [
    "DONE",
    "ENDED",
    "Defect",
    "Effect",
    "Job",
    "JobNeed",
    "JobPart",
    "JobStatus",
    "MendBy",
    "Opens",
    "ServiceDone",
    "ServiceItem",
    "Spare",
    "WorkPlace",
]
