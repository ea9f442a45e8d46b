"""The store as Django knows it."""

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """Documents and their revisions.

    The label names the tables: in a database shared with other programs ``store`` is too
    likely to be there already.
    """

    name = "doughwright.store"
    label = "doughwright"
