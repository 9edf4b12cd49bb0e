"""Something that leaves the app as a file: asked where it goes, and never over a file without asking."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from planner.app.frame.ask import Type
from planner.app.frame.choose import Choose
from planner.app.frame.page import Page
from planner.paper.writing import NotPutError, put
from planner.telling.looks import Line, line

#: Makes the bytes of a file by the ending of its name, with what is said once they are written. May raise NotPutError.
Maker = Callable[[str], tuple[bytes, str]]


def ask_where(page: Page, lines: Sequence[Line], at: Path, endings: Sequence[str], make: Maker) -> None:
    """Ask in which file it goes, proposing one, and write it there; ``make`` runs beside the screen."""

    def answered(typed: str | None) -> None:
        if not typed or not page.stands:
            return
        path = Path(typed).expanduser()
        if path.suffix.lower() not in endings:
            page.say(f"NOT WRITTEN. {path.name} must end in one of {', '.join(endings)}", "wrong")
        elif _is_there(path):
            answers = [("leave", "Leave that file as it is, and write nothing"), ("go", "Write over it")]
            ask = Choose([line(f"{path} is there already.")], answers)
            page.shell.push_screen(ask, lambda answer: over(path, answer))
        else:
            write(path, replace=False)

    def over(path: Path, answer: str | None) -> None:
        if answer == "go":
            write(path, replace=True)
        elif page.stands:
            page.say("nothing was written")

    def write(path: Path, *, replace: bool) -> None:
        page.say("… writing")
        page.shell.beside(lambda: _written(path, make, replace=replace), wrote)

    def wrote(says: tuple[str, str]) -> None:
        if page.stands:
            page.say(*says)

    here = Path.cwd()
    proposed = at.relative_to(here) if at.is_relative_to(here) else at
    page.shell.push_screen(Type(lines, "a file", str(proposed)), answered)


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False  # writing it will say what is wrong with the name


def _written(path: Path, make: Maker, *, replace: bool) -> tuple[str, str]:
    """Write the file; what is to be said of it, and how."""
    try:
        body, says = make(path.suffix.lower())
        put(path, body, replace=replace)
    except NotPutError as error:
        return f"NOT WRITTEN. {error}", "wrong"
    return f"{path}{says}", "good"
