"""Dates printed on equipment and papers: some name a day, some only a month. The precision is kept, not guessed."""

from django.db import models


class DatePrecision(models.TextChoices):
    DAY = "day", "day"
    MONTH = "month", "month"
