"""Every number of an open build, with what its ticks have measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.session.readings import measured

if TYPE_CHECKING:
    from planner.files.build.numbers import BuildNumbers
    from planner.session.onebuild import OneBuild


def worked_out(one: OneBuild) -> BuildNumbers | None:
    """The numbers of a build, measured where they were read and not spoiled since; None where it has none.

    Raises UnusableError where numbers.yaml cannot be read.
    """
    from planner.files.build.alone import read_alone
    from planner.files.build.numbers import work_out
    from planner.session.onebuild import UnusableError

    reading = read_alone(one.folder)
    if reading.problems:
        raise UnusableError(reading.problems)
    found = reading.numbers
    if found is None or not one.readings:
        return found
    return work_out(found.file, found.sides, reading.lengths, measured(one.readings))
