"""Logs of several devices add up to one state, however their files were cut, carried about and put together."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.log.line import merge, read_line
from planner.files.log.ticklog import TickLog
from planner.plan.ticks import Event, Ticks, replay
from planner.session.onebuild import OneBuild
from tests.files.log.making import append, done, planner, steps, tick, ticked, write_build

OPS = ["brush@left", "brush@right", "set@left", "set@right", "tacks#1@left", "tacks#1@right", "square", "gone@left"]
DIDS = ["done", "done", "done", "undone", "again", "late", "note", "reading", "accepted", "slate"]
DEVICES = ["bench", "phone", "tablet", "truck"]

records = st.builds(
    lambda n, by, op, did, at, text: {"v": 1, "n": n, "at": at, "by": by, "op": op, "did": did, "text": text},
    st.integers(0, 60),
    st.sampled_from(DEVICES),
    st.sampled_from(OPS),
    st.sampled_from(DIDS),
    st.sampled_from(["2027-02-13T10:00:00.000Z", "2027-02-13T09:30:00.000Z", "2027-02-14T10:00:00+01:00"]),
    st.sampled_from(["", "a", "b"]),
)


def state_of(folder: Path) -> tuple[list[dict[str, Any]], Ticks]:
    """The merged records and what they add up to."""
    log = TickLog(folder)
    assert log.notices == []
    return [dict(event.raw) for event in log.events], replay(log.events)


def spread(folder: Path, lines: Sequence[str], random: Random, files: int) -> None:
    """Deal lines out to files in any order, some of them twice."""
    home = folder / "log"
    home.mkdir(parents=True)
    doubled = [*lines, *random.sample(list(lines), len(lines) // 3)]
    random.shuffle(doubled)
    for number in range(files):
        part = doubled[number::files]
        (home / f"{DEVICES[number % 4]}{'' if number < 4 else f' (copy {number})'}.jsonl").write_text(
            "".join(line + "\n" for line in part), encoding="utf-8"
        )


@settings(max_examples=120, deadline=None)
@given(st.lists(records, max_size=40), st.randoms(use_true_random=False), st.integers(1, 7), st.integers(1, 7))
def test_any_order_and_any_partition_give_the_same_state(
    made: list[dict[str, Any]], random: Random, files: int, others: int
) -> None:
    lines = [json.dumps(record) for record in made]
    with tempfile.TemporaryDirectory() as home:
        spread(Path(home) / "one", lines, random, files)
        spread(Path(home) / "two", lines, random, others)
        one, two = state_of(Path(home) / "one"), state_of(Path(home) / "two")
    assert one == two
    order = [(record["n"], record["by"]) for record in one[0]]
    assert order == sorted(order)
    assert sorted(json.dumps(record) for record in one[0]) == sorted(set(lines))  # nothing lost, doubles dropped


@settings(max_examples=60, deadline=None)
@given(st.lists(records, min_size=1, max_size=30), st.randoms(use_true_random=False))
def test_a_reader_that_was_there_all_along_agrees_with_one_that_comes_late(
    made: list[dict[str, Any]], random: Random
) -> None:
    """Files grow in bursts, cut anywhere; a log that refreshes on the way ends where a fresh one does."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name) / "log"
        home.mkdir()
        watching = TickLog(name)
        left = dict.fromkeys(DEVICES, b"")
        for record in made:
            left[random.choice(DEVICES)] += json.dumps(record).encode() + b"\n"
        while any(left.values()):
            device = random.choice([each for each in DEVICES if left[each]])
            cut = random.randint(1, len(left[device]))
            with (home / f"{device}.jsonl").open("ab") as stream:
                stream.write(left[device][:cut])
            left[device] = left[device][cut:]
            watching.refresh()
        watching.refresh()
        fresh = TickLog(name)
        assert watching.events == fresh.events
        assert watching.notices == fresh.notices == []


@settings(max_examples=100, deadline=None)
@given(st.lists(records, max_size=25))
def test_undone_takes_back_the_latest_done(made: list[dict[str, Any]]) -> None:
    """The state against a plain reading of the rule, one operation at a time."""
    events = merge([event for event in (read_line(json.dumps(r).encode()) for r in made) if isinstance(event, Event)])
    expected: dict[str, int] = dict.fromkeys(OPS, 0)
    for event in events:
        if event.op is None:
            continue
        if event.did == "again" or (event.did in ("done", "late") and not expected[event.op]):
            expected[event.op] += 1
        elif event.did == "undone":
            expected[event.op] = max(0, expected[event.op] - 1)
    counted = dict.fromkeys(OPS, 0)
    for entry in replay(events).entries:
        counted[entry.op] += 1
    assert counted == expected


def test_a_phone_that_was_off_line_and_is_synced_late(tmp_path: Path) -> None:
    """Its ticks fall where they happened, and the state is as if it had been there."""
    shop, phone = write_build(tmp_path / "shop"), write_build(tmp_path / "phone")
    ticked(shop, "brush@left", device="bench", at="2027-02-13T10:{:02d}:00Z")
    ticked(phone, "brush@right", "set@right", device="phone", at="2027-02-13T10:{:02d}:30Z")
    ticked(shop, "set@left", device="bench", at="2027-02-13T10:{:02d}:00Z")
    assert done(shop) == ["brush@left", "set@left"]

    (shop / "log" / "phone.jsonl").write_bytes((phone / "log" / "phone.jsonl").read_bytes())
    assert done(shop) == ["brush@left", "set@left", "brush@right", "set@right"]
    now = steps(shop, "--now", "2027-02-13T11:00Z")
    assert now["tacks#1@left"]["ready"] and now["tacks#1@right"]["ready"]
    assert planner("check", str(shop)).err == ""

    # What the shop writes next comes after all it has seen, though its clock stands behind the phone's.
    said = tick(shop, "tacks#1@left", "--now", "2027-02-13T09:00:00Z", "--at", "2027-02-13T10:20Z")
    assert said.code == 0, said
    assert done(shop)[-1] == "tacks#1@left"


def test_doubles_of_two_devices_count_once_and_one_undo_takes_them_back(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    append(folder, "bench", [{"did": "done", "op": "brush@left"}], 1_800_000_000)
    other = tmp_path / "elsewhere"
    write_build(other)
    append(other, "phone", [{"did": "done", "op": "brush@left"}], 1_800_000_060)
    (folder / "log" / "phone.jsonl").write_bytes((other / "log" / "phone.jsonl").read_bytes())

    assert done(folder) == ["brush@left"]
    said = planner("check", str(folder))
    assert "brush@left was ticked a second time by phone; once counts" in said.err
    assert tick(folder, "brush@left", "--undo").json["did"] == "undone"
    assert done(folder) == []


def test_ticks_in_planned_order_and_a_fresh_look_agree(tmp_path: Path) -> None:
    """The state that is moved on tick by tick is the one that is worked out from the files."""
    folder = write_build(tmp_path)
    build = OneBuild(folder, "bench", clock=iter(range(1_800_000_000, 1_900_000_000, 600)).__next__)
    for op in build.plan.operations[:14]:
        build.tick(op.name)
        fresh = OneBuild(folder, clock=lambda: 1_800_000_000)
        assert fresh.live.done == build.live.done
        assert fresh.live.state == build.live.state
        assert [e.raw for e in fresh.log.events] == [e.raw for e in build.log.events]
