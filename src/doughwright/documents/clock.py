"""Times of day as a baker writes them: ``18:30``, or with a day."""

from datetime import datetime, timedelta

STARTED_AGO = timedelta(hours=1)
"""A start no longer ago than this is today's: the plan is asked for with hands in the dough."""

YEARS = range(1900, 2201)
"""A plan is made for somebody alive; beyond it lie the ends of the calendar."""

EXAMPLES = f"18:30; 2026-03-01 18:30, a year from {YEARS[0]} to {YEARS[-1]}"


def clock_time(text: str, now: datetime, ago: timedelta) -> datetime | None:
    """Read a time; without a day it is the first one later than ``ago`` before now.

    None where it is no time, or of no year that anything is planned in.

    >>> clock_time("18:30", datetime(2026, 3, 1, 19, 0), timedelta())
    datetime.datetime(2026, 3, 2, 18, 30)
    """
    for form in ("%H:%M", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"):
        try:
            read = datetime.strptime(text, form)  # noqa: DTZ007 - the kitchen's own clock
        except ValueError:
            continue
        if form == "%H:%M":
            return _next(read, now, ago)
        return read if read.year in YEARS else None
    return None


def _next(time: datetime, now: datetime, ago: timedelta) -> datetime:
    earliest = now - ago
    found = earliest.replace(hour=time.hour, minute=time.minute, second=0, microsecond=0)
    coming = found >= earliest if ago else found > now
    return found if coming else found + timedelta(days=1)
