"""The hours of a day at which hands are at work, on the clock of a place; summer time included."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from functools import lru_cache

MOST_DAYS_BACK = 400
QUARTER_S = 900.0
"""No zone changes its day within a quarter of an hour by the clock."""


@dataclass(frozen=True)
class Hours:
    """From one hour of the day to another (24 is midnight), in a time zone."""

    from_hour: int
    to_hour: int
    zone: tzinfo

    def of(self, day: date) -> tuple[float, float]:
        """When hands begin and stop on a day, in seconds since 1970."""
        return _at(day, self.from_hour, self.zone), _at(day, self.to_hour, self.zone)

    def latest_end(self, end_s: float, lasts_s: float) -> float:
        """The latest end, at most `end_s`, of work that lies within the hours of one day.

        What is longer than a day's hours goes through the night: `end_s` itself.
        """
        day = _day_of(end_s // QUARTER_S, self.zone)
        for _ in range(MOST_DAYS_BACK):
            opens_s, closes_s = self.of(day)
            latest_s = min(end_s, closes_s)
            if latest_s - lasts_s >= opens_s:
                return latest_s
            if lasts_s > (self.to_hour - self.from_hour) * 3600:
                return end_s
            day -= timedelta(days=1)
        return end_s


# A zone is slow to ask, and a timetable asks of the same few days a thousand times.
@lru_cache(maxsize=4096)
def _at(day: date, hour: int, zone: tzinfo) -> float:
    at = day + timedelta(days=hour // 24)
    return datetime(at.year, at.month, at.day, hour % 24, tzinfo=zone).timestamp()


@lru_cache(maxsize=4096)
def _day_of(quarter: float, zone: tzinfo) -> date:
    return datetime.fromtimestamp(quarter * QUARTER_S, zone).date()
