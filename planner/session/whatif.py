"""Hours and dates tried out: nothing of it is written, and what it comes to is seen at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from planner.files.times.shifts import day_number, day_words, on_day
from planner.plan.calendar.search import never
from planner.plan.model import Place, Shop
from planner.session.calendar import Made, again
from planner.session.giving import longer


class Trial(NamedTuple):
    """What is tried: hours, days away, publish dates."""

    shop: Shop
    due: Mapping[int, int]

    def says(self, made: Made) -> list[str]:
        """What is changed, as it would be written into the plan."""
        found = []
        for key, old, new in (("hours", made.shop.hours, self.shop.hours), ("desk", made.shop.desk, self.shop.desk)):
            for day, spans in new.items():
                if spans != old.get(day):
                    found.append(f'{key}: {day}: "{" ".join(f"{_clock(a)}-{_clock(b)}" for a, b in spans)}"')
        gone = [day for day in self.shop.away if day not in made.shop.away]
        found += [f"away: {day_words(first)}" for first, _ in gone]
        return found


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


def trial_of(made: Made) -> Trial:
    """Nothing changed yet."""
    return Trial(made.shop, dict(made.booking.job.due))


def with_hours(trial: Trial, place: str, day: str, by: int) -> Trial | None:
    """The last hours of a day of the week so many minutes longer; None where that cannot be."""
    shop = longer(trial.shop, place, day, by)
    return None if shop is None else trial._replace(shop=shop)


def with_away(trial: Trial, day: int) -> Trial:
    """One day away, or there again."""
    span = (day, day)
    away = trial.shop.away
    changed = tuple([each for each in away if each != span]) if span in away else (*away, span)
    return trial._replace(shop=trial.shop._replace(away=changed))


def with_date(trial: Trial, episode: int, weeks: int) -> Trial | None:
    """An episode published so many weeks later; None where it has no date."""
    due = trial.due.get(episode)
    return None if due is None else with_day(trial, episode, day_number(due, trial.shop.timezone) + 7 * weeks)


def with_day(trial: Trial, episode: int, day: int) -> Trial | None:
    """An episode published on the day of that number, at the same time; None where it has no date."""
    due = trial.due.get(episode)
    if due is None:
        return None
    return trial._replace(due={**trial.due, episode: on_day(due, day, trial.shop.timezone)})


def tried(made: Made, trial: Trial, where: Place, stop: Callable[[], bool] = never) -> Made:
    """What a trial comes to. Raises NoCalendarError."""
    return again(made, trial.shop, trial.due, where, stop)
