"""Four devices tick copies of one build while a file sync carries their logs about, late, in any order and in parts."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from planner.plan.ticks import AGAIN, DONE, LATE, UNDONE
from planner.session.onebuild import OneBuild, Refusal, Ticked
from tests.files.log.making import write_build

DEVICES = ("bench", "phone", "tablet", "truck")


class Shop:
    """Four open copies of a build, each with a clock of its own."""

    def __init__(self, home: Path, random: Random) -> None:
        self.random = random
        self.now = 1_800_000_000.0
        self.folders = [write_build(home / device) for device in DEVICES]
        self.builds = []
        for index, (folder, device) in enumerate(zip(self.folders, DEVICES, strict=True)):
            wrong = (-4000.0, 0.0, 40.0, 900.0)[index]  # one is an hour behind, one a quarter ahead
            self.builds.append(OneBuild(folder, device, clock=lambda wrong=wrong: self.now + wrong))  # type: ignore[misc]

    def tick(self) -> None:
        """Somebody does something somewhere."""
        build = self.random.choice(self.builds)
        build.refresh()
        following = build.live.next()
        names = sorted(build.live.by_name)
        name = following.name if following is not None and self.random.random() < 0.6 else self.random.choice(names)
        did = self.random.choices([DONE, AGAIN, UNDONE, LATE], [6, 1, 2, 1])[0]
        remarks = [{"did": "note", "text": "“so”"}] if self.random.random() < 0.2 else []
        answer = build.tick(name, did, remarks=remarks, anyway=self.random.random() < 0.5)
        if isinstance(answer, Refusal) and answer.instead is not None:
            assert isinstance(build.tick(answer.instead), Ticked), "what was called safe was refused"
        self.now += self.random.choice([1, 30, 200, 4000])

    def carry(self, whole: bool = False) -> None:
        """A file of one device comes to another, perhaps not all of it yet."""
        source, target = self.random.sample(range(len(DEVICES)), 2)
        self.bring(source, target, 1.0 if whole else self.random.choice([0.3, 0.9, 1.0, 1.0]))

    def bring(self, source: int, target: int, part: float) -> None:
        """Replace, as a file sync does: never less than what is there."""
        name = f"{DEVICES[source]}.jsonl"
        path = self.folders[source] / "log" / name
        if not path.exists():
            return
        data = path.read_bytes()
        there = self.folders[target] / "log" / name
        there.parent.mkdir(exist_ok=True)
        size = max(int(len(data) * part), there.stat().st_size if there.exists() else 0)
        scratch = there.with_suffix(".tmp")
        scratch.write_bytes(data[:size])
        scratch.replace(there)


def state_of(build: OneBuild) -> object:
    """Everything that a person sees of a build's state, wherever its folder is."""
    live = build.live
    done = [(op.name, at) for op, at in live.done]
    remarks = {op: [event.raw for event in events] for op, events in build.ticks.remarks.items()}
    found = [finding._replace(place=None) for finding in build.findings()]
    notices = [str(notice).replace(str(build.folder), "") for notice in build.notices()]
    following = live.next()
    return done, live.state, found, build.ticks.not_filmed, remarks, notices, following and following.name


@pytest.mark.parametrize("seed", range(25))
def test_all_devices_agree_when_all_files_have_arrived(tmp_path: Path, seed: int) -> None:
    random = Random(seed)
    shop = Shop(tmp_path, random)
    for _ in range(80):
        if random.random() < 0.6:
            shop.tick()
        else:
            shop.carry()
    for source in range(4):
        for target in range(4):
            if source != target:
                shop.bring(source, target, 1.0)
    states = []
    for build, folder in zip(shop.builds, shop.folders, strict=True):
        build.refresh()
        fresh = OneBuild(folder)
        states.append(state_of(build))
        assert state_of(fresh) == state_of(build), f"{folder.name} has lost its way"
    assert all(state == states[0] for state in states)
    written = sum(len((folder / "log" / f"{name}.jsonl").read_bytes().splitlines())
                  for folder, name in zip(shop.folders, DEVICES, strict=True)
                  if (folder / "log" / f"{name}.jsonl").exists())  # fmt: skip
    assert len(shop.builds[0].log.events) == written
