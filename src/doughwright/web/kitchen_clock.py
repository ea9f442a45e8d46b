"""The kitchen's own clock and the instants it stands for.

A baker says 18:30 and means the clock on the wall; a bench, a calendar and a phone that slept
need the instant. The wall's clock is that of the machine Doughwright runs on. In the night that
clocks change an hour is missing or comes twice: instants go on, so waits stay as long as they are.
"""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, tzinfo

from doughwright.sheets.timeline import Timeline


def wall_clock(instant: datetime, zone: tzinfo | None = None) -> datetime:
    """What the clock on the wall shows at an instant; without a zone, this machine's.

    >>> from zoneinfo import ZoneInfo
    >>> wall_clock(datetime(2026, 3, 1, 18, 0, tzinfo=UTC), ZoneInfo("Europe/Berlin"))
    datetime.datetime(2026, 3, 1, 19, 0)
    """
    return instant.astimezone(zone).replace(tzinfo=None)


def instant(wall: datetime, zone: tzinfo | None = None) -> datetime:
    """When the clock on the wall shows a time; of a time that comes twice, the first.

    >>> from zoneinfo import ZoneInfo
    >>> instant(datetime(2026, 10, 25, 2, 30), ZoneInfo("Europe/Berlin"))
    datetime.datetime(2026, 10, 25, 0, 30, tzinfo=datetime.timezone.utc)
    """
    told = wall.replace(tzinfo=zone) if zone is not None else wall
    return told.astimezone(UTC)


def plan_begins(
    line: Timeline, ready: datetime | None, now: datetime, zone: tzinfo | None = None
) -> datetime:
    """The instant of a plan's first step: as planned, else the coming minute.

    A plan made backwards is counted back from the instant it is to be ready at.
    """
    if ready is not None:
        return instant(ready, zone) - timedelta(seconds=line.total.value or 0.0)
    if line.starts is not None:
        return instant(line.starts, zone)
    whole = now.replace(second=0, microsecond=0)
    return whole if whole == now else whole + timedelta(minutes=1)


def clock_change(first: datetime, last: datetime, zone: tzinfo | None = None) -> timedelta:
    """By how much the wall's clock is put forward between two instants."""
    return (wall_clock(last, zone) - wall_clock(first, zone)) - (last - first)


def later(begins: datetime, line: Timeline) -> Mapping[int, tuple[datetime, datetime]]:
    """The instants each step of a plan begins and ends at, by its position."""
    return {
        row.position: (
            begins + timedelta(seconds=row.begins),
            begins + timedelta(seconds=row.ends),
        )
        for row in line.rows
    }
