"""The file for calendar programs, read back by icalendar."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from icalendar import Calendar

from tests.session.test_calendar import EPISODE, JOB, NOW, build
from tests.support.builds import write_files
from tests.support.commandline import run, run_json


def events(path: Path) -> dict[str, tuple[Any, ...]]:
    """Every entry by its identifier, as a program that imports the file keeps them."""
    found = Calendar.from_ical(path.read_bytes())
    kept: dict[str, tuple[Any, ...]] = {}
    for event in found.walk("VEVENT"):
        kept[str(event["uid"])] = (
            event.decoded("dtstart"), event.decoded("dtend"), str(event["summary"]), str(event.get("description", "")),
        )  # fmt: skip
    assert len(kept) == len(found.walk("VEVENT"))
    return kept


def test_it_is_read_back_as_it_was_planned(tmp_path: Path) -> None:
    folder, path = build(tmp_path), tmp_path / "shop.ics"
    assert run("calendar", folder, "--now", NOW, "--ics", str(path))[0] == 0
    _, found = run_json("calendar", folder, "--now", NOW)
    shifts = [each for uid, each in events(path).items() if uid.startswith("shift-")]
    assert [(a.isoformat()[:16], b.isoformat()[:16]) for a, b, *_ in shifts] == [
        (shift["start"][:16], shift["end"][:16]) for shift in found["shifts"]
    ]
    assert {uid.partition("-")[0] for uid in events(path)} == {"shift", "wait", "publish"}
    assert "hang@left" in str(shifts[2][3])
    assert not Calendar.from_ical(path.read_bytes()).walk("VALARM")
    raw = path.read_bytes()
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))  # RFC 5545, 3.1


def test_a_second_import_changes_nothing_and_a_later_one_what_moved(tmp_path: Path) -> None:
    folder, path = build(tmp_path), tmp_path / "shop.ics"
    run("calendar", folder, "--now", NOW, "--ics", str(path))
    first = path.read_bytes()
    kept = events(path)
    run("calendar", folder, "--now", NOW, "--ics", str(path))
    assert path.read_bytes() == first
    write_files(tmp_path / "gate", {"build.yaml": JOB.replace("19:00-22:00", "18:30-22:00")})
    run("calendar", folder, "--now", NOW, "--ics", str(path))
    later = events(path)
    assert set(later) == set(kept)
    moved = [uid for uid in kept if kept[uid] != later[uid]]
    assert moved == ["shift-2027-01-13-shop-1@gate.planner.invalid"]


def test_alarms_are_off_unless_asked_for(tmp_path: Path) -> None:
    folder, path = build(tmp_path), tmp_path / "shop.ics"
    run("calendar", folder, "--now", NOW, "--ics", str(path), "--alarm", "30 min")
    bells = Calendar.from_ical(path.read_bytes()).walk("VALARM")
    assert [bell.decoded("trigger").total_seconds() for bell in bells] == [-1800.0] * 4


def test_no_other_file_is_written_over(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("mine")
    code, _, err = run("calendar", build(tmp_path), "--now", NOW, "--ics", str(path))
    assert (code, path.read_text()) == (2, "mine")
    assert "choose another name" in err
    assert run("calendar", build(tmp_path), "--now", NOW, "--ics", str(path / "shop.ics"))[0] == 3


def test_nothing_of_a_build_is_taken_for_syntax(tmp_path: Path) -> None:
    folder, path = (
        build(tmp_path, JOB.replace("build: Gate", r'build: "Gate;,\\nEND:VCALENDAR"')),
        tmp_path / "shop.ics",
    )
    run("calendar", folder, "--now", NOW, "--ics", str(path))
    assert any(r"Gate;,\nEND:VCALENDAR" in str(each[2]) for each in events(path).values())
    assert EPISODE
