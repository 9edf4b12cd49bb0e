"""Reading a build: every plan file, checked, or every problem of every file at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from yaml.events import ScalarEvent

from planner.files.build import kinds as kindfile
from planner.files.build import linking
from planner.files.build.copies import copied_from, is_yaml
from planner.files.build.episode import EpisodeReader
from planner.files.build.fields import Source
from planner.files.build.job import Job, read_job
from planner.files.build.load import load, unreadable
from planner.files.build.pieces import refuse_misspelt
from planner.files.build.references import Vocabulary, extras_of, standing
from planner.files.layout import BUILD_FILE, EPISODE_FILE, EPISODES, NUMBERS_FILE
from planner.files.yaml.collecting import resting
from planner.files.yaml.tree import MapNode, Node, Problem, Problems, SeqNode
from planner.plan.model import Build, Episode, Extras, Kind, Place

if TYPE_CHECKING:
    from planner.files.build.numbers import NumbersFile


class Reading(NamedTuple):
    """A build, or the problems that keep it from being one."""

    build: Build | None
    problems: tuple[Problem, ...]
    numbers: NumbersFile | None = None  # where the build has a file of numbers


class Tree(NamedTuple):
    """An episode file: its path, the number in its name, and what is in it."""

    path: str
    number: int
    root: Node


def read_build(folder: str | os.PathLike[str], kinds: Mapping[str, Kind] | None = None) -> Reading:
    """Read a build folder; ``kinds`` are those that come with the tool, read here when not handed in.

    Never raises for what is in the files or missing from the disk: that is a problem with a place.
    """
    with resting():
        return _read(Path(folder), kinds)


def _read(folder: Path, kinds: Mapping[str, Kind] | None) -> Reading:
    problems = Problems()
    root = load(folder / BUILD_FILE, problems)
    trees, complete = _episode_trees(folder, problems) if root is not None or folder.is_dir() else ([], False)
    if root is None:
        _numbers(folder, (), problems)
        return failed(problems)
    shipped = kinds if kinds is not None else kindfile.shipped_kinds()
    return join_trees(folder, root, trees, complete, lambda sides: _numbers(folder, sides, problems), problems, shipped)


def join_trees(
    folder: Path,
    root: Node,
    trees: Sequence[Tree],
    complete: bool,
    numbers_of: Callable[[tuple[str, ...]], NumbersFile | None],
    problems: Problems,
    kinds: Mapping[str, Kind],
) -> Reading:
    """A build from the trees of its files, wherever they were read; not ``complete`` where an episode was not.

    ``numbers_of`` reads the numbers for the build's sides, which are known only once build.yaml is.
    """
    path = str(folder / BUILD_FILE)
    source = Source(path, problems)
    job = read_job(source, root, kinds)
    numbers = numbers_of(() if job is None else job.sides)
    if job is None:
        return failed(problems)
    work = work_in_use(trees)
    worked_on = {piece for _, piece in work}
    vocabulary = Vocabulary(job, worked_on, complete, work)
    vocabulary.read_outright(source)
    if complete and job.pieces_node is not None:
        refuse_misspelt(source, job.pieces_node, job.pieces, worked_on)
    extras = extras_of(vocabulary, source, job.extras_node)
    reader = EpisodeReader(job, vocabulary, problems)
    if numbers is not None:
        from planner.numbers.keys import known_names, readable_names

        reader.known_numbers = known_names(tuple(numbers.sections))
        reader.numbers_file = numbers
        reader.readable_numbers = readable_names(tuple(numbers.sections))
    episodes = [reader.read(tree.path, tree.number, tree.root) for tree in trees]
    linking.link(reader, complete)
    start = tuple([ref for _, ref in standing(vocabulary, source, job.start_node, "start")])
    end = standing(vocabulary, source, job.end_node, "end")
    vocabulary.complete_owed()
    if any(ref.where == "others" for group in extras for ref in group):
        linking.refuse_others_on_camera(source, root, episodes, job.film)
    if problems.found:
        return failed(problems)
    done = tuple(sorted((episode for episode in episodes if episode is not None), key=lambda e: e.number))
    build = linking.with_standing(_build(job, folder, path, vocabulary, extras, done), source, start, end)
    return failed(problems) if problems.found else Reading(build, (), numbers)


def _build(
    job: Job,
    folder: Path,
    path: str,
    vocabulary: Vocabulary,
    extras: Extras,
    episodes: tuple[Episode, ...],
) -> Build:
    return Build(
        job.name,
        str(folder),
        Place(path, 1, 1),
        job.sides,
        job.film,
        job.show,
        job.shop,
        vocabulary.conditions,
        frozenset(vocabulary.at_start),
        job.pieces,
        job.kinds,
        extras,
        episodes,
    )


def failed(problems: Problems) -> Reading:
    """What a reading comes to that found problems, in the order of their places."""
    return Reading(None, tuple(sorted(problems.found, key=lambda p: (p.path, p.line, p.column))))


def _episode_trees(folder: Path, problems: Problems) -> tuple[list[Tree], bool]:
    """The trees of the episodes, and whether none is missing for a problem."""
    home = folder / EPISODES
    try:
        # An editor's backup, a picture: not ours to judge.
        names = sorted(entry.name for entry in os.scandir(home) if is_yaml(entry.name))
    except FileNotFoundError:
        problems.add(str(home), 1, 1, "there is no episodes folder; make one with a file such as 01-start.yaml")
        return [], False
    except OSError as error:
        problems.add(str(home), 1, 1, unreadable(error))
        return [], False
    trees = []
    complete = True
    plan_files = [name for name in names if EPISODE_FILE.fullmatch(name)]
    for name in names:
        path = home / name
        match = EPISODE_FILE.fullmatch(name)
        if match is None:
            if copied_from(name, plan_files) is not None:
                continue  # left by a file sync: named among the notices, and no reason to stop the work
            problems.add(
                str(path), 1, 1, f"{name} is not named as an episode; call it 01-slug.yaml (number, hyphen, name)"
            )
            complete = False
            continue
        root = load(path, problems)
        if root is None:
            complete = False
        else:
            trees.append(Tree(str(path), int(match.group(1)), root))
    if not trees and not problems.found:
        problems.add(str(home), 1, 1, "there is no episode yet; add a file such as 01-start.yaml")
    return trees, complete


def _numbers(folder: Path, sides: tuple[str, ...], problems: Problems) -> NumbersFile | None:
    """The file of numbers; None where there is none, or where it has problems, which are told.

    Without known sides nothing in it can be judged.
    """
    path = folder / NUMBERS_FILE
    if not os.path.lexists(path):
        return None
    root = load(path, problems)
    if root is None:
        return None
    from planner.files.build.numbers import read_numbers  # only builds with numbers pay for the calculators

    before = len(problems.found)
    found = read_numbers(path, root, sides, problems) if sides else None
    return found if len(problems.found) == before else None


def work_in_use(trees: Sequence[Tree]) -> set[tuple[str, str]]:
    """Every piece that a step names, each with the kinds of work done to it; rework has none, it may never come.

    Gathered before conditions are looked up, and from the raw tree, so that a step with a problem elsewhere counts.
    """
    found: set[tuple[str, str]] = set()
    for tree in trees:
        stages = _child(tree.root, "stages")
        for stage in stages.items if isinstance(stages, SeqNode) else ():
            steps = _child(stage, "steps")
            for step in steps.items if isinstance(steps, SeqNode) else ():
                piece = _child(step, "piece")
                if piece is not None and not isinstance(piece, (MapNode, SeqNode)):
                    kind, rework = _child(step, "kind"), _child(step, "rework")
                    often = isinstance(rework, ScalarEvent) and rework.value == "true"
                    found.add((kind.value if isinstance(kind, ScalarEvent) and not often else "", piece.value))
    return found


def _child(node: Node, key: str) -> Node | None:
    if isinstance(node, MapNode) and key in node.items:
        return node.items[key][1]
    return None
