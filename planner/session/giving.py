"""What would have to give so that publish dates are met: an hour more on a day of the week, or a later date."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from planner.files.times.shifts import weeks_later
from planner.plan.calendar.search import never
from planner.plan.model import Place, Shop
from planner.session.calendar import Made, NoCalendarError, again

_WEEK = 7 * 24 * 60
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class More(NamedTuple):
    """Longer hours on a day of the week, and what that comes to."""

    place: str  # shop or desk
    day: str  # mon … sun
    minutes: int
    late: int  # minutes late that are left, in sum


class Later(NamedTuple):
    """An episode published later by whole weeks, and when that is."""

    episode: int
    weeks: int
    due: int


class Giving(NamedTuple):
    """Every way out; of longer hours those that help, the best first."""

    late: int
    hours: tuple[More, ...]
    dates: tuple[Later, ...]


def longer(shop: Shop, place: str, day: str, by: int) -> Shop | None:
    """The hours with the last span of a day so many minutes longer; None where the day has no hours or is full."""
    hours = shop.hours if place == "shop" else shop.desk
    spans = hours.get(day)
    if not spans or not spans[-1][1] - spans[-1][0] + by > 0 or spans[-1][1] + by > 24 * 60:
        return None
    changed = {**hours, day: (*spans[:-1], (spans[-1][0], spans[-1][1] + by))}
    return shop._replace(hours=changed) if place == "shop" else shop._replace(desk=changed)


def lateness(made: Made) -> int:
    """The minutes past the publish dates, in sum."""
    return sum(each.late for each in made.results.publish)


def giving(made: Made, where: Place, stop: Callable[[], bool] = never) -> Giving:
    """What would have to give; nothing where every date is met. ``where``: the build's place, for messages."""
    late = lateness(made)
    if not late:
        return Giving(0, (), ())
    found = []
    for minutes in (60, 120):
        for place in ("shop", "desk"):
            for day in _DAYS:
                shop = longer(made.shop, place, day, minutes)
                if shop is None or stop():
                    continue
                try:
                    left = lateness(again(made, shop, made.booking.job.due, where, stop))
                except NoCalendarError:
                    continue
                if left < late:
                    found.append(More(place, day, minutes, left))
        if any(not each.late for each in found):
            break
    dates = [
        _later(each.episode, each.due, each.late, made.shop.timezone) for each in made.results.publish if each.late
    ]
    return Giving(late, tuple(sorted(found, key=lambda each: (each.late, each.minutes))), tuple(dates))


def _later(episode: int, due: int, late: int, zone: str | None) -> Later:
    """The first date whole weeks later, at the same time on the wall, that is not late."""
    weeks = max(1, late // _WEEK)
    while weeks_later(due, weeks, zone) < due + late:
        weeks += 1
    return Later(episode, weeks, weeks_later(due, weeks, zone))
