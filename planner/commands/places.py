"""Which build a command is about, and what time it is for it."""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from planner.commands.out import CommandError
from planner.reserved import COMMANDS

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.session.onebuild import OneBuild


class _Formatter(argparse.RawDescriptionHelpFormatter):
    """As wide as the terminal; argparse would load shutil to ask for that, even where no help is shown."""

    def __init__(self, prog: str) -> None:
        try:
            width = os.get_terminal_size().columns - 2
        except (OSError, ValueError):
            width = 98
        super().__init__(prog, width=max(20, width))


class _Parser(argparse.ArgumentParser):
    """A parser that fails as everything else does: in one line, and in JSON where that was asked for."""

    def error(self, message: str) -> NoReturn:
        raise CommandError(f"{message}; see {self.prog} --help")


def parser(name: str, says: str, example: str, *, build: bool = True) -> argparse.ArgumentParser:
    """A command's parser with what all commands share."""
    made = _Parser(
        prog=f"planner {name}",
        description=says,
        epilog=f"example:\n{example}",
        formatter_class=_Formatter,
        allow_abbrev=False,
    )
    if build:
        made.add_argument("build", metavar="BUILD", help="a folder, or a name under the builds folder")
    made.add_argument("--builds", metavar="FOLDER", help="where builds live (else PLANNER_BUILDS, ./projects)")
    made.add_argument("--json", action="store_true", help="print one JSON object")
    made.add_argument(
        "--now",
        metavar="TIME",
        type=lambda text: instant_of(text, "--now"),
        help="take this as the present time, such as 2027-02-13T19:30Z",
    )
    return made


def builds_folder(given: str | None) -> Path:
    """The folder where builds live."""
    chosen = given or os.environ.get("PLANNER_BUILDS")
    if chosen:
        return Path(chosen)
    here = Path("projects")
    if here.is_dir():
        return here
    from planner.files.machine.device import data_folder

    return data_folder()


def find_build(name: str, given: str | None) -> Path:
    """The folder of a build: a folder by itself, or a name under the builds folder."""
    if not name or "\0" in name:
        raise CommandError("the build has no name")
    direct = Path(name)
    try:
        if direct.is_dir():
            return direct
        home = builds_folder(given)
        under = home / name
        if under.is_dir():
            return under
        if direct.exists():
            raise CommandError(f"{name} is not a folder; a build is a folder with a build.yaml in it", path=name)
        known = [entry.name for entry in home.iterdir() if entry.is_dir()] if home.is_dir() else []
    except OSError as error:
        raise CommandError(f"{name}: cannot be read: {error.strerror or error}", path=name) from error
    from planner.plan.words import nearest

    near = nearest(name, known)
    hint = f"; did you mean {near}?" if near else "; planner where shows where builds are looked for"
    command = nearest(name, COMMANDS)
    if near is None and command is not None:
        raise CommandError(f"there is no build or command {name}; did you mean planner {command}?", near=command)
    raise CommandError(f"there is no build {name} in {home}{hint}", near=near, path=str(under))


def operation_named(build: OneBuild, name: str, near: str | None = None) -> Operation:
    """An operation by its name; a name that is none is told with the nearest one (``near``, where that is known)."""
    from planner.plan.names import is_passing, read_at

    found = None if read_at(name) is not None or is_passing(name) else build.live.by_name.get(name)
    if found is not None:
        return found
    from planner.plan.words import nearest

    near = near or read_at(name) or nearest(name, build.live.by_name)
    hint = f"; did you mean {near}?" if near else "; planner steps lists them"
    raise CommandError(f"there is no operation {name} in {build.folder}{hint}", near=near, path=str(build.folder))


def clock_of(now: float | None) -> Callable[[], float]:
    """The clock of a command: the machine's, or one that stands still at ``--now``."""
    return time.time if now is None else lambda: now


def instant_of(text: str, option: str, zone: str | None = None) -> float:
    """UTC seconds of a time typed by a person; without an offset it is in ``zone``, else UTC."""
    from planner.files.log.line import EARLIEST, LATEST
    from planner.files.times.hours import parse_instant

    found = parse_instant(text, zone)
    if isinstance(found, str):
        raise CommandError(f"{option}: {found}")
    if not EARLIEST <= found <= LATEST:
        raise CommandError(f"{option}: “{text}” is in no year that a log can hold")
    return found


def open_build(args: argparse.Namespace, *, to_tick: bool = False) -> OneBuild:
    """The build a command is about, opened."""
    from planner.session.onebuild import OneBuild, UnusableError

    folder = find_build(args.build, args.builds)
    device = None
    if to_tick:
        from planner.files.machine.device import DeviceError, device_name

        try:
            device = device_name()
        except DeviceError as error:
            raise CommandError(str(error), 3) from error
    try:
        return OneBuild(folder, device, clock_of(args.now))
    except UnusableError as error:
        count = len(error.problems)
        raise CommandError(
            f"{folder} cannot be used: {count} problem{'s' if count > 1 else ''}", problems=error.problems
        ) from error
