"""A row people edit: it carries the number of times it was changed, so that two people cannot overwrite each other."""

from django.db import models


class Versioned(models.Model):
    """`version` starts at 1 and grows by one at each change; see `vessel.actions.version.save_changed`."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True
