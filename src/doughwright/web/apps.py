"""The web app's tables: devices that are paired, and bakes that are under way."""

from typing import Any

from django.apps import AppConfig
from django.db import transaction
from django.db.models.signals import post_save


class WebConfig(AppConfig):
    """Devices and benches, beside the store's documents."""

    name = "doughwright.web"
    label = "web"

    def ready(self) -> None:
        """Tell open pages of every revision that is saved, by whichever way."""
        from doughwright.store.models import Revision  # noqa: PLC0415 - models come after apps

        post_save.connect(_saved, sender=Revision, dispatch_uid="doughwright.web.announce")


def _saved(instance: Any, **_: Any) -> None:
    from doughwright.web.events import announce  # noqa: PLC0415 - as above

    if instance.document.kind == "formula":
        topic = f"bread:{instance.document.key}"
        transaction.on_commit(lambda: announce(topic))
