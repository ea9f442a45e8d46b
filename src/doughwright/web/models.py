"""Devices that may ask, codes by which they are paired, and bakes that are under way."""

from django.db import models


class Device(models.Model):
    """A browser or a program that may use the library; only a digest of its token is kept."""

    token_digest = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=80)
    paired = models.DateTimeField()
    seen = models.DateTimeField()
    revoked = models.DateTimeField(null=True)

    def __str__(self) -> str:
        """Its name."""
        return self.name


class PairingCode(models.Model):
    """A code that pairs one device once, for a few minutes."""

    digest = models.CharField(max_length=64, unique=True)
    expires = models.DateTimeField()

    def __str__(self) -> str:
        """Until when it holds."""
        return f"until {self.expires:%H:%M}"


class Bench(models.Model):
    """A plan being worked from: a revision of a bread, a kitchen, a size and a start.

    ``asked`` holds the plan page's own query, so that the plan can be made again.
    """

    key = models.CharField(max_length=16, unique=True)
    bread = models.CharField(max_length=120)
    number = models.PositiveIntegerField()
    asked = models.JSONField()
    begun = models.DateTimeField()
    ended = models.DateTimeField(null=True)

    def __str__(self) -> str:
        """The bread and its beginning."""
        return f"{self.bread}, {self.begun:%Y-%m-%d %H:%M}"


class Mark(models.Model):
    """A step marked done at a bench, by its position in the process."""

    bench = models.ForeignKey(Bench, on_delete=models.CASCADE, related_name="marks")
    position = models.PositiveIntegerField()
    done = models.DateTimeField()

    class Meta:
        """A step is done once."""

        constraints = [  # noqa: RUF012 - Django reads it as a plain attribute
            models.UniqueConstraint(fields=["bench", "position"], name="one_mark_a_step")
        ]

    def __str__(self) -> str:
        """The step and its end."""
        return f"step {self.position}, {self.done:%H:%M}"
