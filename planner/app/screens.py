"""Every screen by name: the one list. Each is imported when it is first shown; start-up is paid by everyone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.app.frame.host import Screens

if TYPE_CHECKING:
    from textual.screen import Screen

    from planner.app.frame.host import Host, Written
    from planner.plan.expand import Operation, Plan
    from planner.session.loose import Loose


def _builds() -> Screen[Any]:
    from planner.app.builds.screen import BuildsScreen

    return BuildsScreen()


def _plan() -> Screen[Any]:
    from planner.app.plan.screen import PlanScreen

    return PlanScreen()


def _traps() -> Screen[Any]:
    from planner.app.traps.screen import TrapsScreen

    return TrapsScreen()


def _camera() -> Screen[Any]:
    from planner.app.camera.screen import CameraScreen

    return CameraScreen()


def _write() -> Screen[Any]:
    from planner.app.write.screen import WriteScreen

    return WriteScreen()


def _problems() -> Screen[Any]:
    from planner.app.problems import ProblemsScreen

    return ProblemsScreen()


def _numbers() -> Screen[Any]:
    from planner.app.numbers.screen import NumbersScreen

    return NumbersScreen()


def _calendar() -> Screen[Any]:
    from planner.app.calendar.screen import CalendarScreen

    return CalendarScreen()


def _series() -> Screen[Any]:
    from planner.app.series.screen import SeriesScreen

    return SeriesScreen()


def _find(plan: Plan, chosen: Callable[[Operation], None], by_id: bool) -> Screen[Any]:
    from planner.app.plan.find import FindScreen

    return FindScreen(plan, chosen, by_id=by_id)


def _papers(folder: Path, episode: int | None) -> Screen[Any]:
    from planner.app.papers.screen import PapersScreen

    return PapersScreen(folder, episode)


def _write_on(page: Written, what: str, by: int, text: str) -> None:
    from planner.app.write import open as pages
    from planner.app.write.actions import Writer

    if what in pages.PAGES:
        pages.PAGES[what](page)
    else:
        Writer(page).do(what, by, text)


def _leave(shell: Host, loose: tuple[Loose, ...], then: Callable[[], None]) -> None:
    from planner.app.keep.leaving import ask_leave

    ask_leave(shell, loose, then)


MAKERS: dict[str, Callable[[], Screen[Any]]] = {
    "builds": _builds,
    "plan": _plan,
    "traps": _traps,
    "camera": _camera,
    "problems": _problems,
    "write": _write,
    "numbers": _numbers,
    "calendar": _calendar,
    "series": _series,
}
SCREENS = Screens(MAKERS, _find, _write_on, _papers, _leave)
