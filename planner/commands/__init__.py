"""The command line. Each command lives in a module of its own and imports what it needs when it runs."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from planner.commands.out import EXIT_UNUSABLE, CommandError, fail, flush, show
from planner.reserved import COMMANDS

#: Opens the app on a folder of builds and perhaps one of them, at a time that is not the machine's where one is given;
#: the exit code. Handed in: no command knows the app.
OpenApp = Callable[[Path, Path | None, float | None], int]

_HELP = """planner: plan and shoot a two-sided build

  planner [BUILD]          open the app
{commands}

  planner COMMAND --help   what a command takes, with an example

BUILD is a folder, or a name under the builds folder (--builds, PLANNER_BUILDS, ./projects, the user's data folder).
--now TIME sets the clock, of the app too: it runs on from there.
Exit codes: 0 fine; 1 traps stand, or a tick was refused; 2 the input cannot be used; 3 it could not be written.
The work can hurt people: what the planner says is an aid, never a replacement for training, local rules and
inspection."""


def main(argv: Sequence[str], open_app: OpenApp | None = None) -> int:
    """Run one command, or open the app with the function handed in; the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that cannot show “ must not stop the work
    try:
        return _run(list(argv), open_app)
    except CommandError as error:
        return fail(error, "--json" in argv)
    except BrokenPipeError:  # `planner steps … | head`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as error:  # the last line of defence: one line, and never "traps stand"
        if os.environ.get("PLANNER_DEBUG"):
            raise
        said = f"a fault of the planner itself ({type(error).__name__}: {error}); PLANNER_DEBUG=1 shows all of it"
        return fail(CommandError(said), "--json" in argv)
    finally:
        flush()  # also after --help


def _run(argv: list[str], open_app: OpenApp | None) -> int:
    if argv and argv[0] in ("-h", "--help", "help"):
        lines = [f"  planner {name:<16} {says}" for name, says in COMMANDS.items()]
        show(_HELP.format(commands="\n".join(lines)).splitlines())
        return 0
    if argv and argv[0] == "--version":
        from planner import __version__

        show(f"planner {__version__}")
        return 0
    if argv and argv[0] in COMMANDS:
        from importlib import import_module

        module = import_module(f"planner.commands.{argv[0]}")
        code: int = module.run(argv[1:])
        return code
    return _open_app(argv, open_app)


def _open_app(argv: list[str], open_app: OpenApp | None) -> int:
    from planner.commands.places import builds_folder, find_build, instant_of

    builds, now, rest = None, None, []
    items = iter(argv)
    for item in items:
        if item == "--builds":
            builds = next(items, None)
            if not builds:
                raise CommandError("--builds needs a folder")
        elif item.startswith("--builds="):
            builds = item.partition("=")[2]
        elif item == "--now" or item.startswith("--now="):
            now = instant_of(next(items, "") if item == "--now" else item.partition("=")[2], "--now")
        elif item.startswith("-"):
            raise CommandError(f"there is no option {item}; see planner --help")
        else:
            rest.append(item)
    if len(rest) > 1:
        from planner.plan.words import nearest

        near = nearest(rest[0], COMMANDS)
        hint = f"; did you mean planner {near}?" if near else "; see planner --help"
        raise CommandError(f"there is no command {rest[0]}{hint}", near=near)
    build = find_build(rest[0], builds) if rest else None
    if not sys.stdout.isatty() or not sys.stdin.isatty():
        raise CommandError("the app needs a terminal; planner check, steps, tick and log work without one")
    if open_app is None:
        raise CommandError("this is the command line without the app; start planner itself to open it")
    return open_app(builds_folder(builds), build, now)


__all__ = ["COMMANDS", "EXIT_UNUSABLE", "main"]
