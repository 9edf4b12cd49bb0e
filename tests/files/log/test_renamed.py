"""Steps under other ids: their ticks follow, in whatever order the logs of several devices are put together."""

from __future__ import annotations

import itertools
import json
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.disk.saving import changes_of, save
from planner.files.editing.names import rename_step
from planner.files.log.line import merge, read_line
from planner.files.log.ticklog import NotWrittenError
from planner.plan.expand import Plan
from planner.plan.fates import ticks_after
from planner.plan.ticks import Event, Ticks, replay
from planner.session.onebuild import OneBuild, plan_of
from tests.files.log.making import STAGES, append, done, planner, steps, ticked, write_build


def event(n: int, did: str, op: str, by: str = "bench", **more: str) -> Event:
    """A record as a device would have written it."""
    raw = {"v": 1, "n": n, "at": "2027-02-13T10:00:00.000Z", "by": by, "op": op, "did": did, **more}
    found = read_line(json.dumps(raw).encode())
    assert isinstance(found, Event)
    return found


def ops(events: Sequence[Event]) -> list[str]:
    """What counts as done, in order."""
    return [entry.op for entry in replay(merge(events)).entries]


def test_every_kind_of_operation_follows() -> None:
    """A step on a side, done once, with rounds, and both."""
    names = ["old@left", "old#2@right", "old#3", "old", "older@left", "old-2", "other#1@left"]
    events = [event(n, "done", op) for n, op in enumerate(names)]
    events.append(event(50, "renamed", "old", to="new"))
    assert ops(events) == ["new@left", "new#2@right", "new#3", "new", "older@left", "old-2", "other#1@left"]


def test_what_comes_after_is_about_another_step() -> None:
    """A step made later under the old id is not the one that was renamed."""
    events = [
        event(1, "done", "old@left"),
        event(2, "renamed", "old", to="new"),
        event(3, "done", "old@left"),
        event(4, "renamed", "old", to="newest"),
        event(5, "renamed", "new", to="last"),
        event(6, "done", "old@left"),
    ]
    assert ops(events) == ["last@left", "newest@left", "old@left"]


def test_there_and_back() -> None:
    events = [
        event(1, "done", "a"),
        event(2, "renamed", "a", to="b"),
        event(3, "done", "b"),
        event(4, "renamed", "b", to="a"),
        event(5, "undone", "a"),
    ]
    assert ops(events) == []


def test_remarks_doubles_and_not_filmed_follow() -> None:
    events = [
        event(1, "late", "old@left"), event(2, "note", "old@left", text="hot"), event(3, "done", "old@left", "phone"),
        event(4, "renamed", "old", to="new"),
    ]  # fmt: skip
    state = replay(events)
    assert state.not_filmed == {"new@left"}
    assert list(state.remarks) == ["new@left"] and state.remarks["new@left"][0].raw["text"] == "hot"
    assert [double.op for double in state.doubles] == ["new@left"]


def test_a_done_under_each_name_is_one_done_and_a_double() -> None:
    """Two devices, one of which knew of the new name before the other's clock."""
    events = [event(1, "done", "old@left"), event(2, "done", "new@left", "phone"), event(3, "renamed", "old", to="new")]
    assert ops(events) == ["new@left"] and len(replay(events).doubles) == 1


@pytest.mark.parametrize("to", [None, "", "Not A Name", 7, "with@side", ["x"]])
def test_a_record_that_names_no_step_changes_nothing(to: object) -> None:
    raw = {"v": 1, "n": 2, "at": "2027-02-13T10:00:00Z", "by": "b", "op": "old", "did": "renamed", "to": to}
    found = read_line(json.dumps(raw).encode())
    assert isinstance(found, Event)
    assert ops([event(1, "done", "old@left"), found]) == ["old@left"]


def by_hand(events: Sequence[Event]) -> list[str]:
    """The same by carrying every renaming out on what is done so far; written for the test, one list and no index."""
    standing: list[str] = []
    for each in events:
        assert each.op is not None
        if each.did == "renamed":
            old, new = each.op, str(each.raw["to"])
            moved = [new + op[len(old) :] if op.partition("@")[0] == old else op for op in standing]
            standing = list(dict.fromkeys(moved))
        elif each.did == "done" and each.op not in standing:
            standing.append(each.op)
        elif each.did == "undone" and each.op in standing:
            standing.remove(each.op)
    return standing


_IDS = ("a", "b", "c")
records = st.one_of(
    st.tuples(st.sampled_from(["done", "done", "undone"]), st.sampled_from([f"{i}@{s}" for i in _IDS for s in "lr"])),
    st.tuples(st.just("renamed"), st.sampled_from(list(itertools.permutations(_IDS, 2)))),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(records, max_size=14), st.randoms(use_true_random=False))
def test_any_order_of_merging_gives_the_same(made: list[tuple[str, object]], random: object) -> None:
    """However the records are dealt out and read, and the same as renaming step by step where no id is in use."""
    events = []
    in_use: set[str] = set()
    plain = True
    for n, (did, what) in enumerate(made):
        by = f"d{n % 3}"
        if did == "renamed":
            assert isinstance(what, tuple)
            plain = plain and what[1] not in in_use  # the app lets no step take the id of another
            in_use.discard(what[0])
            in_use.add(what[1])
            events.append(event(n, did, what[0], by, to=what[1]))
        else:
            assert isinstance(what, str)
            in_use.add(what[0])
            events.append(event(n, did, what, by))
    first: Ticks = replay(merge(events))
    shuffled = list(events)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert replay(merge(shuffled)) == first
    if plain:
        assert sorted(entry.op for entry in first.entries) == sorted(by_hand(events))


# --- through a build ----------------------------------------------------------------------------


def renamed_build(folder: Path, old: str, new: str) -> OneBuild:
    """Rename a step as the app does."""
    one = OneBuild(folder, "bench", clock=lambda: 1_900_000_000)
    texts = read_texts(folder)
    edit = rename_step(texts, old, new)
    back = {path: texts[path] for path in edit.changes}
    one.rename_steps(
        {old: new},
        lambda: save(changes_of(texts, edit.changes)),
        lambda: save(changes_of({p: t for p, t in edit.changes.items() if t is not None}, back)),
    )
    one.adopt(plan_of(read_build(folder)))
    return one


def test_the_ticks_of_a_step_follow_its_new_id(tmp_path: Path) -> None:
    """The state before and after is the same but for the name, and the log has one line more."""
    folder = write_build(tmp_path)
    ticked(folder, "brush@left", "brush@right", "set@left")
    before = (folder / "log" / "bench.jsonl").read_bytes()
    one = renamed_build(folder, "brush", "bright")
    assert done(folder) == ["bright@left", "bright@right", "set@left"]
    assert one.strays() == [] and one.notices() == []
    assert one.live.state == OneBuild(folder).live.state
    after = (folder / "log" / "bench.jsonl").read_bytes()
    assert after.startswith(before)
    (line,) = after[len(before) :].splitlines()
    record = json.loads(line)
    assert (record["did"], record["op"], record["to"]) == ("renamed", "brush", "bright")
    assert steps(folder)["bright@left"]["done"]
    assert planner("log", str(folder)).code == 0


def test_a_device_that_was_away_is_followed_too(tmp_path: Path) -> None:
    """Its ticks of before the renaming come in afterwards."""
    shop, phone = write_build(tmp_path / "shop"), write_build(tmp_path / "phone")
    append(phone, "phone", [{"did": "done", "op": "brush@right"}], 1_800_000_000)
    renamed_build(shop, "brush", "bright")
    (shop / "log" / "phone.jsonl").write_bytes((phone / "log" / "phone.jsonl").read_bytes())
    assert done(shop) == ["bright@right"]


def test_a_log_that_cannot_be_written_leaves_the_plan_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both or neither."""
    folder = write_build(tmp_path)
    before = read_texts(folder)
    monkeypatch.setattr("planner.files.log.ticklog.TickLog.append", _refuse)
    with pytest.raises(NotWrittenError):
        renamed_build(folder, "brush", "bright")
    assert read_texts(folder) == before


def _refuse(*_: object) -> None:
    raise NotWrittenError("full")


# --- what becomes of ticks ----------------------------------------------------------------------


def plan(folder: Path, stages: str) -> Plan:
    """The plan of a build with these stages."""
    return plan_of(read_build(write_build(folder, stages)))


STAYS = "it stays ticked; still to be done then: "
KEPT = "its tick stays in the log and no longer counts"
GOES = f"{KEPT}, and to be ticked then: "


@pytest.mark.parametrize(
    ("old", "new", "op", "says"),
    [
        ("rounds: 8, ", "rounds: 10, ", "tacks#1@left", f"{STAYS}tacks#9@left, tacks#10@left"),
        ("rounds: 8, ", "rounds: 2, ", "tacks#3@left", f"tacks then has 2 rounds; {GOES}tacks#1@left, tacks#2@left"),
        ("rounds: 8, ", "", "tacks#1@left", f"tacks then has 1 round; {GOES}tacks@left"),
        ("step: brush, ", "step: brush, sides: once, ", "brush@left", f"brush is then done once; {GOES}brush"),
        ("diagonals, sides: once", "diagonals", "square",
         f"square is then done on each side; {GOES}square@left, square@right"),
        ("step: brush, ", "step: brush, sides: [right], why: left is new, ", "brush@left",
         f"brush is then not done on the left side; {KEPT}"),
        ("step: brush, ", "step: brushed, ", "brush@left", f"the step brush is no longer in the plan; {KEPT}"),
    ],
)  # fmt: skip
def test_what_becomes_of_a_tick_is_said(old: str, new: str, op: str, says: str, tmp_path: Path) -> None:
    assert old in STAGES
    before = plan(tmp_path / "a", STAGES)
    after = plan(tmp_path / "b", STAGES.replace(old, new, 1))
    assert ticks_after(before, after, [op, "set@left", "nowhere@left"]) == [(op, says)]
    assert ticks_after(before, before, [op]) == []


def test_what_becomes_of_a_renamed_tick_is_said(tmp_path: Path) -> None:
    before = plan(tmp_path / "a", STAGES)
    after = plan(tmp_path / "b", STAGES.replace("step: brush, ", "step: bright, ", 1))
    assert ticks_after(before, after, ["brush@left", "set@left"], {"brush": "bright"}) == [
        ("brush@left", "the tick goes over to bright@left")
    ]
