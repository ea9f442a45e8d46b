"""The store's two tables: what there is, and every revision of it, kept for good."""

from django.db import models


class Document(models.Model):
    """A formula, a kitchen, a series or a shelf; its words are in its revisions.

    Name, tags and figures are derived from the newest revision's words and can be made again.
    """

    kind = models.CharField(max_length=16)
    key = models.CharField(max_length=80)
    newest = models.PositiveIntegerField()
    name = models.TextField()
    tags = models.JSONField(default=list)
    figures = models.JSONField(null=True)
    figures_of = models.PositiveIntegerField(default=0)
    created = models.DateTimeField()
    dropped = models.DateTimeField(null=True)

    class Meta:
        """A key names one document of its kind."""

        constraints = [  # noqa: RUF012 - Django reads it as a plain attribute
            models.UniqueConstraint(fields=["kind", "key"], name="one_document_a_key")
        ]

    def __str__(self) -> str:
        """Kind and key."""
        return f"{self.kind} {self.key}"


class Revision(models.Model):
    """The words of a document as they were saved once; rows are added, never changed."""

    document = models.ForeignKey(Document, on_delete=models.CASCADE, related_name="revisions")
    number = models.PositiveIntegerField()
    text = models.TextField()
    message = models.TextField()
    saved = models.DateTimeField()

    class Meta:
        """Two writers cannot both be the third revision."""

        constraints = [  # noqa: RUF012 - as above
            models.UniqueConstraint(fields=["document", "number"], name="one_revision_a_number")
        ]

    def __str__(self) -> str:
        """Its number."""
        return f"revision {self.number}"
