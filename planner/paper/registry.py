"""The papers there are: name, what each is, what can be asked of it, and the module that makes it. One line a paper."""

from __future__ import annotations

from importlib import import_module
from typing import NamedTuple, Protocol, cast

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import Document

EPISODE, SIDE, SHIFT = "episode", "side", "shift"
_PART = frozenset({EPISODE, SIDE})


class Paper(NamedTuple):
    """A paper: its name, what it is, and what part of a build may be asked for."""

    name: str
    says: str
    module: str  # in planner.paper.sheets, with a function document(facts)
    takes: frozenset[str] = frozenset()


class _Maker(Protocol):
    def document(self, facts: Facts) -> Document: ...


PAPERS: tuple[Paper, ...] = (
    Paper(
        "job-sheet", "the steps of an episode or a shift, with boxes a side", "jobsheet", frozenset({EPISODE, SHIFT})
    ),
    Paper(
        "hot-work",
        "card a shift or an episode for welding and grinding: before, and until when to watch",
        "hotwork",
        frozenset({EPISODE, SIDE, SHIFT}),
    ),
    Paper("cut-list", "lines and cuts a side, pieces and bars, from the numbers", "cutlist", frozenset({SIDE})),
    Paper("torque", "torque table: what is bolted, with boxes to tick", "torque", _PART),
    Paper("tags", "tags for pieces: build, side, end, what to keep", "tags", _PART),
    Paper("as-built", "record for the inspector: welds, readings, holds, what is open", "asbuilt", _PART),
    Paper("template", "wrap templates at true size: cut lines, clock, tacks", "template", frozenset({SIDE})),
    Paper(
        "shaft-drawing",
        "what shafts are ordered by: one a side, measured only",
        "shaftdrawing",
        frozenset({SIDE}),
    ),
)


def paper_named(name: str) -> Paper | None:
    """A paper by its name."""
    return next((paper for paper in PAPERS if paper.name == name), None)


def make(paper: Paper, facts: Facts) -> Document:
    """The document. Raises NothingToPrintError, with one line that says why."""
    asked = facts.asked
    for option, given in ((EPISODE, asked.episode), (SIDE, asked.side), (SHIFT, asked.shift)):
        if given is not None and option not in paper.takes:
            raise NothingToPrintError(f"{paper.name} is of the whole build and takes no --{option}")
    build = facts.one.plan.build
    episodes = [episode.number for episode in build.episodes]
    if facts.asked.episode is not None and facts.asked.episode not in episodes:
        known = ", ".join(map(str, episodes))
        raise NothingToPrintError(f"there is no episode {facts.asked.episode}; the build has {known}")
    if facts.asked.side is not None and facts.asked.side not in build.sides:
        raise NothingToPrintError(f"there is no side {facts.asked.side}; the sides are {', '.join(build.sides)}")
    maker = cast(_Maker, import_module(f"planner.paper.sheets.{paper.module}"))
    return maker.document(facts)
