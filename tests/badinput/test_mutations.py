"""Two thousand and more spoilt plan files: each loads or is refused with its places, never more, and in no time."""

from __future__ import annotations

import resource
import time
from collections.abc import Mapping
from pathlib import Path
from random import Random

import pytest

from planner.files.build.kinds import shipped_kinds
from planner.files.build.reading import Reading, read_build
from planner.plan.expand import expand
from planner.plan.findings import check, planned
from planner.plan.model import Kind
from planner.plan.repairs import find_repairs
from tests.badinput.mutating import mutate, mutate_bytes
from tests.badinput.samples import FULL, write

TESTS = Path(__file__).resolve().parents[1]
PARTS = 10
TEXTS, BYTES = 2000, 600
SLOWEST = 20.0  # times the reading of the unspoilt build
LEAST = 0.02  # seconds; what is quicker cannot be measured well
REPAIRS = 0.05  # seconds for looking for repairs
MEMORY = 300 << 10  # KiB that all of it may add to this process


def bases() -> list[dict[str, bytes]]:
    """The builds to spoil: the one with every key, sound ones as people write them, and a demo with its numbers."""
    found = [{name: text.encode() for name, text in FULL.items()}]
    demos = [folder for folder in sorted((TESTS.parent / "projects").iterdir()) if (folder / "numbers.yaml").is_file()]
    for folder in [*sorted((TESTS / "demos" / "soundplans").iterdir())[::4], *demos[:1]]:
        files = [*folder.glob("*.yaml"), *folder.glob("episodes/*.yaml")]
        found.append({str(path.relative_to(folder)): path.read_bytes() for path in files})
    return found


BASES = bases()


def readable_of(reading: Reading, folder: Path) -> None:
    """What was refused is told well: in one of the files, at a place in it, in one printable line."""
    assert reading.problems
    for problem in reading.problems:
        path = Path(problem.path)
        assert path.is_relative_to(folder)
        lines = path.read_bytes().count(b"\n") + 1 if path.is_file() else 1
        assert 1 <= problem.line <= lines + 1, problem
        assert problem.column >= 1, problem
        assert problem.message and "\n" not in problem.message and "\x1b" not in problem.message
        assert len(problem.message) < 500


def judge(folder: Path, kinds: Mapping[str, Kind], usual: float) -> bool:
    """Read the build and, where it loads, find what is wrong and how to mend it; whether it loaded."""
    begun = time.process_time()
    reading = read_build(folder, kinds)
    took = time.process_time() - begun
    assert took < SLOWEST * max(usual, LEAST), f"reading took {took:.2f} s, {usual:.3f} s when unspoilt"
    if reading.build is None:
        readable_of(reading, folder)
        return False
    begun = time.process_time()
    plan = expand(reading.build)
    findings = check(plan, planned(plan))
    until = time.process_time() + REPAIRS
    find_repairs(plan, [], plan.operations, findings, lambda: time.process_time() > until)
    assert time.process_time() - begun < 5
    return True


def usual_time(folder: Path, kinds: Mapping[str, Kind]) -> float:
    """How long reading takes when nothing is wrong."""
    times = []
    for _ in range(3):
        begun = time.process_time()
        assert read_build(folder, kinds).build is not None
        times.append(time.process_time() - begun)
    return min(times)


@pytest.mark.parametrize("part", range(PARTS))
def test_spoilt_plan_files_load_or_are_refused_with_their_places(tmp_path: Path, part: int) -> None:
    random = Random(f"spoilt {part}")
    kinds = shipped_kinds()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    loaded = 0
    folders = [write(tmp_path / str(number), files) for number, files in enumerate(BASES)]
    usual = [usual_time(folder, kinds) for folder in folders]
    for number in range((TEXTS + BYTES) // PARTS):
        which = 0 if number % 2 else random.randrange(len(BASES))
        files, folder = BASES[which], folders[which]
        name = random.choice(sorted(files))
        if number % ((TEXTS + BYTES) // BYTES) == 0:
            spoilt = mutate_bytes(files[name], random)
        else:
            spoilt = mutate(files[name].decode(), random).encode("utf-8", "surrogatepass")
        (folder / name).write_bytes(spoilt)
        try:
            loaded += judge(folder, kinds, usual[which])
        except BaseException as error:
            error.add_note(f"{name} in part {part}, number {number}:\n{spoilt[:5000]!r}")
            raise
        (folder / name).write_bytes(files[name])
    assert loaded > 8  # not all of them are so broken that nothing behind the parser is tried
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < MEMORY


def test_the_slower_parser_copes_as_well(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where PyYAML comes without its C library. It counts the same places, if not always in the same words."""
    from planner.files.yaml import tree as yamltree
    from planner.files.yaml.pure import PythonParser

    random = Random("slow")
    kinds = shipped_kinds()
    files = BASES[0]
    folder = write(tmp_path, files)
    fast = read_build(folder, kinds)
    monkeypatch.setattr(yamltree, "_Parser", PythonParser)
    assert read_build(folder, kinds) == fast
    usual = usual_time(folder, kinds)
    for _ in range(150):
        name = random.choice(sorted(files))
        (folder / name).write_bytes(mutate(files[name].decode(), random).encode("utf-8", "surrogatepass"))
        judge(folder, kinds, usual)
        (folder / name).write_bytes(files[name])


@pytest.mark.parametrize("seed", range(40))
def test_files_of_another_kind_in_each_others_places(tmp_path: Path, seed: int) -> None:
    """An episode where the job should be, numbers where an episode should be, one build's file in another."""
    random = Random(seed)
    files = dict(random.choice(BASES))
    other = random.choice(BASES)
    for name in random.sample(sorted(files), random.randint(1, 2)):
        files[name] = random.choice(list(other.values()))
    folder = write(tmp_path, files)
    judge(folder, shipped_kinds(), 0.1)
