"""The Harbour Lane demo that a new library holds: the examples, as they are shipped."""

from datetime import datetime
from pathlib import Path

from doughwright.store.folders import import_from

INSTALLED = Path(__file__).with_name("demo")
CHECKOUT = Path(__file__).parents[3] / "examples"


def demo_folder() -> Path:
    """The folder of the demo: beside this file once installed, else in the checkout."""
    return INSTALLED if INSTALLED.is_dir() else CHECKOUT


def fill(now: datetime) -> None:
    """Put the demo into the library."""
    report = import_from([demo_folder()], now, message="The Harbour Lane demo.")
    assert not report.refused, report.refused
