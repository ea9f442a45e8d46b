"""When something was saved, as the clock in the kitchen says it."""

from datetime import datetime


def day(moment: datetime) -> str:
    """A date in the kitchen's own time.

    >>> day(datetime(2026, 3, 1, 12))
    '1 Mar 2026'
    """
    here = moment.astimezone()
    return f"{here.day} {here:%b %Y}"


def day_and_time(moment: datetime) -> str:
    """A date with its time of day.

    >>> day_and_time(datetime(2026, 3, 1, 9, 5))
    '1 Mar 2026, 09:05'
    """
    return f"{day(moment)}, {moment.astimezone():%H:%M}"
