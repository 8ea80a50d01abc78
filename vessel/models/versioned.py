"""A row people edit: it carries the number of times it was changed, so that two people cannot overwrite each other."""

from typing import ClassVar

from django.db import models


class Versioned(models.Model):
    """`version` starts at 1 and grows by one at each change; see `vessel.actions.version.save_changed`.

    `private_columns` are named in history but not shown: their values go into its private part.
    """

    private_columns: ClassVar[frozenset[str]] = frozenset()

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True


def column_labels(kind: type[models.Model]) -> dict[str, str]:
    """What the columns of a model are called where their names do not say enough."""
    named = {field.name: str(field.verbose_name) for field in kind._meta.fields}  # noqa: SLF001 Django's own way to ask
    return {name: words for name, words in named.items() if words != name.replace("_", " ")}
