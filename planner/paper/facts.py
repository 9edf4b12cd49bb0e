"""What a paper is made from: one open build, the clock, and what was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.paper.ground.sizes import SIZES, Size
from planner.paper.ground.tree import Block, Document
from planner.plan.expand import Operation
from planner.session.onebuild import OneBuild

if TYPE_CHECKING:
    from planner.files.build.numbers import BuildNumbers


class NothingToPrintError(ValueError):
    """The build has nothing that this paper could show, or what was asked for is not in it; one line says why."""


class Asked(NamedTuple):
    """What part of the build, and for which paper; None: all of it."""

    episode: int | None = None
    side: str | None = None
    shift: int | None = None  # 1 is the next one of the calendar
    size: Size = SIZES["a4"]


class Facts(NamedTuple):
    """What papers are made from. ``now`` is UTC seconds."""

    one: OneBuild
    now: float
    asked: Asked = Asked()

    @property
    def zone(self) -> str | None:
        """The build's time zone."""
        return self.one.plan.build.shop.timezone

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides asked for: one, or all of the build."""
        return self.one.plan.build.sides if self.asked.side is None else (self.asked.side,)

    def operations(self) -> list[Operation]:
        """The planned operations asked for, in planned order; what is done once belongs to every side."""
        plan = self.one.plan
        return [
            op
            for op in plan.operations
            if self.asked.episode in (None, plan.stages[op.stage][0].number)
            and self.asked.side in (None, op.side or self.asked.side)
        ]

    def numbers(self) -> BuildNumbers | None:
        """All numbers of the build, with what ticks have read; None where it has none."""
        from planner.files.build.alone import read_alone
        from planner.files.build.numbers import work_out
        from planner.session.readings import measured

        alone = read_alone(self.one.folder)
        found = alone.numbers
        if found is None or not self.one.readings:
            return found
        return work_out(found.file, found.sides, alone.lengths, measured(self.one.readings))

    def document(self, paper: str, title: str, blocks: tuple[Block, ...]) -> Document:
        """A document of this build. ``paper`` is its name in the registry."""
        from planner.files.times.shifts import show_day

        made = show_day(self.now, self.zone) + ("" if self.zone else " UTC")
        return Document(paper, title, self.one.plan.build.name, self.now, made, blocks)
