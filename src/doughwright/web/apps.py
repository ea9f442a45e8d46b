"""The web app's tables: devices that are paired, and bakes that are under way."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Devices and benches, beside the store's documents."""

    name = "doughwright.web"
    label = "web"
