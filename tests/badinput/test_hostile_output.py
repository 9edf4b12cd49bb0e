"""Nothing that a file or a person says is obeyed by the terminal: no escapes, no C1, no turning of the direction.

The characters are those of ECMA-48 (C0, C1) and of UAX 9 (bidirectional marks).
"""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path

import pytest

from planner.commands.out import plain, wrap
from tests.badinput.asking import EPISODE, problems, refused
from tests.badinput.samples import SMALL, SMALL_EPISODE, SMALL_JOB, write
from tests.files.log.making import Said, planner, tick

OBEYED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\u200e\u200f\u061c\u202a-\u202e\u2066-\u2069]")

HOSTILE = {
    "colour": "\x1b[31mred\x1b[0m",
    "title": "\x1b]0;owned\x07",
    "clear": "\x1b[2J\x1b[H",
    "8-bit colour": "\x9b31mred",
    "8-bit string": "\x90q\x9c",
    "carriage return": "good\rbad",
    "backspace": "ok\b\bno",
    "bell": "\a\a",
    "null": "a\0b",
    "delete": "a\x7fb",
    "next line": "a\x85b",
    "new lines": "a\n\nTRAP: b",
    "line separator": "a\u2028b\u2029c",
    "other direction": "\u202egnitirw\u202c",
    "isolates": "\u2066a\u2069",
    "half a pair": "\ud83da",
    "clipboard": "\x1b]52;c;aGVsbG8=\x07",
}


def harmless(said: Said) -> Said:
    """See that nothing in an answer is obeyed."""
    for text in (said.out, said.err):
        found = OBEYED.search(text)
        assert found is None, f"U+{ord(found.group()):04X} in {text!r}"
    return said


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_plan_is_refused_without_repeating_it(tmp_path: Path, text: str) -> None:
    """Raw in a text, raw in a key, as an escape in quotes, as a name that is not known."""
    quoted = json.dumps(text)  # JSON's escapes are YAML's
    episodes = {
        "text": SMALL_EPISODE.replace("Saw it", text),
        "comment": SMALL_EPISODE + f"# {text}\n",
        "quoted": SMALL_EPISODE.replace("Saw it", quoted),
        "key": SMALL_EPISODE + f"        {quoted}: 1\n",
        "kind": SMALL_EPISODE + f"        kind: {quoted}\n",
        "condition": SMALL_EPISODE + f"        needs: [{quoted}]\n",
        "step": SMALL_EPISODE + f"      - {{step: {quoted}, do: x}}\n",
        "title": SMALL_EPISODE.replace("stage: One", f"stage: {quoted}"),
    }
    for name, episode in episodes.items():
        folder = write(tmp_path / name, {**SMALL, EPISODE: episode.encode("utf-8", "surrogatepass")})
        for command in ("check", "steps"):
            harmless(planner(command, str(folder)))
            harmless(planner(command, str(folder), "--json"))
        if name in ("key", "kind", "condition", "step"):
            refused(folder)
            assert all(
                OBEYED.sub("", p.message.translate(dict.fromkeys(range(0x2000, 0x2070)))) for p in problems(folder)
            )


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_log(tmp_path: Path, text: str) -> None:
    """In every value of a record, in the name of a file, in a damaged line."""
    folder = write(tmp_path, SMALL)
    (folder / "log").mkdir()
    good = {"v": 1, "n": 1, "at": "2027-02-13T10:00:00Z", "by": "phone", "did": "done", "op": "saw@near"}
    records = [
        {**good, "n": 2, "by": text},
        {**good, "n": 3, "did": text},
        {**good, "n": 4, "op": text},
        {**good, "n": 5, "did": "note", "text": text, text: text},
        {**good, "n": 6, "op": f"saw@{text}"},
        {**good, "n": 7, "by": f"a{text}"},  # ticked a second time
        {**good, "v": 2, "n": text},
        {**good, "at": text},
    ]
    lines = [json.dumps(record).encode() for record in records] + [
        json.dumps(text).encode(),
        text.encode("utf-8", "replace"),
    ]
    name = text.replace("\0", "").encode("utf-8", "replace").decode()
    (folder / "log" / f"dev {name}.jsonl").write_bytes(b"\n".join(lines) + b"\n")
    for command in ("log", "check", "steps"):
        said = harmless(planner(command, str(folder)))
        assert said.code == 0, said
        assert harmless(planner(command, str(folder), "--json")).json["format"] == 1
    assert harmless(planner("log", str(folder), "--op", text)).code == 0


#: A program's arguments hold no NUL, and a byte that is no text comes as half a pair of this sort.
TYPED = {name: text.replace("\ud83d", "\udce9") for name, text in HOSTILE.items() if "\0" not in text}


@pytest.mark.parametrize("text", TYPED.values(), ids=TYPED.keys())
def test_what_a_person_types(tmp_path: Path, text: str) -> None:
    """Names of builds, operations, sides, options, times, devices and the words of a note."""
    folder = write(tmp_path, SMALL)
    where = str(folder)
    typed = [
        ["check", text], ["check", where, text], ["check", where, f"--{text}"], ["check", where, "--now", text],
        ["check", text, "--builds", text], ["steps", where, "--side", text], ["steps", where, "--episode", text],
        ["tick", where, text], ["tick", where, "saw@near", "--at", text], ["log", where, "--op", text],
        ["new", text], ["new", "mine", "--from", text], ["new", "mine", "--sides", text], ["where", text],
        [text], [text, text], ["--builds", text, text], [f"--{text}"],
    ]  # fmt: skip
    for argv in typed:
        for more in ([], ["--json"]):
            said = harmless(planner(*argv, *more))
            assert said.code in (0, 2), (argv, said)
    assert harmless(tick(folder, "saw@near", device=text)).code == 3
    said = harmless(tick(folder, "saw@near", "--note", text, "--reading", text))
    assert said.code == 0
    stored = (folder / "log" / "bench.jsonl").read_bytes()
    assert b"\x1b" not in stored and stored.count(b"\n") == 3
    assert harmless(planner("log", where)).code == 0
    events = planner("log", where, "--json").json["events"]
    assert events[0]["value"] == events[1]["text"] == text  # kept as it was said, and shown without effect


@pytest.mark.parametrize("text", TYPED.values(), ids=TYPED.keys())
def test_folders_with_hostile_names(tmp_path: Path, text: str) -> None:
    name = f"b{text}".encode("utf-8", "replace").decode()
    folder = write(tmp_path / name, SMALL)
    write(folder, {f"episodes/02-{name}.yaml": SMALL_EPISODE, "build.yaml": SMALL_JOB})
    for argv in (["check", str(folder)], ["check", "bb", "--builds", str(tmp_path)], ["log", str(folder)]):
        harmless(planner(*argv))
        harmless(planner(*argv, "--json"))
    assert f"02-{name}.yaml" in planner("check", str(folder), "--json").json["problems"][0]["path"]


def test_plain_leaves_every_other_letter_alone() -> None:
    """All of Unicode: what is not obeyed stays, one character for one."""
    for start in range(0, 0x110000, 0x1000):
        text = "".join(chr(code) for code in range(start, start + 0x1000) if not 0xD800 <= code < 0xE000)
        shown = plain(text)
        assert len(shown) == len(text)
        assert OBEYED.search(shown) is None and "\n" not in shown
        for before, after in zip(text, shown, strict=True):
            assert before == after or unicodedata.category(before) in ("Cc", "Cf", "Zl", "Zp")


def test_wrapped_lines_keep_every_word() -> None:
    text = (
        "This step needs a very-long-name-" + "x" * 200 + " and goes on after it for some time, until the line is full."
    )
    lines = wrap(text, "  ", 60)
    assert " ".join(line.strip() for line in lines) == text
    assert all(line.startswith("  ") for line in lines)
    assert all(len(line) <= 60 or " " not in line.strip() for line in lines)
