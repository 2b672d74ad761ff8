"""The time zone of the server, as a value that the domain can be handed."""

from datetime import UTC, date, datetime, timedelta, tzinfo


class LocalZone(tzinfo):
    """The server's own time zone, summer time included, as the system knows it."""

    def utcoffset(self, moment: datetime | None) -> timedelta | None:
        """The distance from UTC at that moment; None for none."""
        return None if moment is None else _system(moment).utcoffset()

    def dst(self, moment: datetime | None) -> timedelta | None:
        """Not told apart from the offset."""
        return None

    def tzname(self, moment: datetime | None) -> str | None:
        """What the system calls it."""
        return None if moment is None else _system(moment).tzname()

    def fromutc(self, moment: datetime) -> datetime:
        """The moment, given in UTC, on a clock of this zone."""
        local = moment.replace(tzinfo=UTC).astimezone()
        return local.replace(tzinfo=self)


LOCAL = LocalZone()


def today(now_ms: int) -> date:
    """The day it is for the server."""
    return datetime.fromtimestamp(now_ms / 1000, LOCAL).date()


def midnight_ms(day: date) -> int:
    """When that day began for the server, ms since 1970."""
    began = datetime(day.year, day.month, day.day).astimezone()
    return round(began.timestamp() * 1000)


def _system(moment: datetime) -> datetime:
    return moment.replace(tzinfo=None).astimezone()
