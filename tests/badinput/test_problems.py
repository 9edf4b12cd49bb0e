"""Each thing wrong with a plan file is one clear line with its place, and all of them are told at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.badinput.asking import EPISODE, loaded, told, with_episode, with_job, with_step
from tests.badinput.samples import FIRST, FULL, JOB, SMALL_EPISODE, write
from tests.files.log.making import planner

#: A step's text, what is said about it, and where (the step's keys stand in column 9, the first in line 9).
STEPS = {
    "unknown key": ("nedes: [a.flat]", (9, 9), "the step has no key nedes; did you mean needs?"),
    "unknown key, nothing near": ("zzz: 1", (9, 9), "the step has no key zzz"),
    "key twice": ("note: a\nnote: b", (10, 9), "note stands here a second time (first in line 9); keep one"),
    "anchor": ("note: &x a", (9, 15), "anchors (&x) are not read; write the value out"),
    "anchor on a list": ("note: &x [a]", (9, 15), "anchors and tags are not read; write the value out"),
    "alias": ("note: *x", (9, 15), "aliases (*x) are not read; write the value out"),
    "alias in a list": ("note: [a, *x]", (9, 19), "aliases (*x) are not read; write the value out"),
    "alias as a key": ("*x : a", (9, 9), "aliases (*x) are not read; write the value out"),
    "tag": ("note: !!str a", (9, 15), "tags (tag:yaml.org,2002:str) are not read; take it out"),
    "tag of a program": ("note: !!python/object:os.x a", (9, 15), "tags (tag:yaml.org,2002:python/object:os.x)"),
    "anchor on everything": ("note: &x\n  - a", (9, 15), "anchors and tags are not read; write the value out"),
    "bare tag": ("note: ! a", (9, 15), "tags (!) are not read; take it out"),
    "merge": ("<<: {note: a}", (9, 9), "<< is not read; write the keys out"),
    "list as a key": ("? [a]\n: b", (9, 11), "a key must be a plain word"),
    "empty key": ('"": b', (9, 9), "the step has no key (empty)"),
    "no key": (": b", (9, 9), "did not find expected key: check the indentation, the colon after the key"),
    "escape in quotes": ('note: "\\e[31mred"', (9, 15), "this text holds a control character; take it out"),
    "bell in quotes": ('note: "\\a"', (9, 15), "this text holds a control character; take it out"),
    "C1 in quotes": ('note: "\\x9b31m"', (9, 15), "this text holds a control character; take it out"),
    "line separator in quotes": ('note: "\\L"', (9, 15), "this text holds a control character; take it out"),
    "escape in a key": ('"\\e[31m": 1', (9, 9), "this text holds a control character; take it out"),
    "half a pair in quotes": ('note: "\\ud800"', (9, 18), "found invalid Unicode character escape code"),
    "text that begins with a brace": ("note: {len} long", (9, 21), "text that begins with { must stand in quotes"),
    "text with a colon": ("note: a: b", (9, 16), "a colon and a space make a key, and none can stand here"),
    "text with a percent sign": ("note: %a", (9, 15), "text cannot begin with this character; put the text in quotes"),
    "tab": ("\tnote: a", (9, 9), "a tab cannot indent; use spaces"),
    "quote left open": ('note: "a', (9, 15), "found unexpected end of stream"),
    "bracket left open": ("note: [a", (10, 1), "did not find expected ',' or ']'"),
    "comma in braces": ("needs: {a, b}", (9, 16), "needs: must be a list, not a mapping"),
    "number for a text": ("note: 12", (9, 15), "note: must be text, not the number 12; put it in quotes"),
    "switch for a text": ("kind: true", (9, 15), "kind: must be text, not the switch true; put it in quotes"),
    "mapping for a text": ("why: {a: b}", (9, 14), "why: must be text, not a mapping; text that begins with {"),
    "list for a text": ("setup: [a]", (9, 16), "setup: must be text, not a list"),
    "text for a list": ("needs: a.flat", (9, 16), "needs: must be a list, not the text “a.flat”; write [a.flat]"),
    "text for a number": ("rounds: many", (9, 17), "rounds: must be a whole number from 1 to 99, not the text “many”"),
    "fraction for a number": (
        "rounds: 2.5",
        (9, 17),
        "rounds: must be a whole number from 1 to 99, not the number 2.5",
    ),
    "number out of range": ("rounds: 100", (9, 17), "rounds: must be a whole number from 1 to 99, not the number 100"),
    "word for a switch": ("one-way: yes", (9, 18), "one-way: must be true or false, not the text “yes”"),
    "word not on the list": (
        "where: shoop",
        (9, 16),
        "where: must be shop or desk, not the text “shoop”; did you mean",
    ),
    "no duration": (
        "time: 20 minutes",
        (9, 15),
        "time: must be a duration such as 90 s, 20 min, 1 h 30 min or 21 days",
    ),
    "not a name": ("piece: Left Foot", (9, 16), "piece: “Left Foot” is not a name; use lower-case letters"),
    "unknown kind": (
        "kind: wled",
        (9, 15),
        "kind: there is no kind “wled” (planner kinds lists them); did you mean weld?",
    ),
    "unknown condition": (
        "needs: [a.flt]",
        (9, 17),
        (
            "needs: no condition a.flt is declared; build.yaml declares it with conditions: "
            "{a.flt: {kept: side, means: …}}; did you mean a.flat?"
        ),
    ),
    "unknown side": ("first: nera", (9, 16), "first: there is no side “nera”; did you mean near?"),
    "unknown side of a condition": ("needs: [a.flat@fra]", (9, 17), "needs: there is no side “fra” in a.flat@fra; did"),
    "side of a job condition": ("needs: [a.true@near]", (9, 17), "needs: a.true is on the job; write it without @near"),
    "unknown film": ("film: nearr", (9, 15), "film: must be a side, all or none, not “nearr”; did you mean near?"),
    "unknown sides": ("sides: [near, fra]\nwhy: x", (9, 23), "sides: there is no side “fra”; did you mean far?"),
    "sides as a word": ("sides: near", (9, 16), "sides: must be each, once or a list of sides, not the text “near”"),
    "no sides": ("sides: []", (9, 16), "sides: this list is empty; name the sides, or write once or each"),
    "a side twice": ("sides: [near, near]", (9, 23), "sides: near stands here twice; keep one"),
    "unknown turns": (
        "turns: altern",
        (9, 16),
        "turns: must be alternate, side-first or a list of sides, not the text",
    ),
    "turns with a side too few": (
        "turns: [near]",
        (9, 16),
        "turns: must be each of near, far once, in the order of",
    ),
    "turns of what is done once": ("sides: once\nturns: [near, far]", (10, 16), "turns: this step is done once"),
    "others of what is done once": ("sides: once\nneeds: [a.flat@others]", (10, 17), "a.flat@others has no meaning"),
    "unknown step": ("after: [swa]", (9, 17), "after: there is no step swa; did you mean saw?"),
    "no step at all": ("after: [a b]", (9, 17), "after: “a b” is not a step, or a step with @own"),
    "own of what is done once": ("sides: once\nafter: [saw@own]", (10, 17), "after: saw@own has no meaning"),
    "without, but no kind": ("without: [flat]", (9, 18), "without: takes conditions of the kind away, and this step"),
    "rework with rounds": ("rework: true\nrounds: 2", (10, 17), "rounds: a rework step has no rounds"),
}


@pytest.mark.parametrize(("keys", "place", "message"), STEPS.values(), ids=STEPS.keys())
def test_a_step_with_one_thing_wrong(tmp_path: Path, keys: str, place: tuple[int, int], message: str) -> None:
    """One line, at the very place; the nearest spelling where there is one."""
    ((file, line, column, says),) = told(with_step(tmp_path, keys))
    assert (file, line, column) == (EPISODE, *place), says
    assert message in says


#: Lines of build.yaml from line 7 on.
JOBS = {
    "unknown key": ("peices: {}", (7, 1), "build.yaml has no key peices; did you mean pieces?"),
    "reserved side": ("sides: [all]", (7, 1), "sides stands here a second time (first in line 3); keep one"),
    "pieces in a circle": ("pieces: {a: {in: b}, b: {in: a}}", (7, 10), "pieces: a in b in a runs in a circle"),
    "a piece in itself": ("pieces: {a: {in: a}}", (7, 10), "pieces: a in a runs in a circle"),
    "unknown start": ("start: [a.flat@fra]", (7, 9), "start: there is no side “fra” in a.flat@fra; did you mean far?"),
    "start of others": ("start: [a.flat@others]", (7, 9), "start: a.flat@others has no side of its own here"),
    "unknown film": ("film: left", (7, 7), "film: must be a side, all or none, not “left”"),
    "no zone": ("shop: {hours: {sat: '08:00-12:00'}}", (7, 7), "shop: hours need a timezone: such as Europe/Lisbon"),
    "unknown zone": ("shop: {timezone: Europe/Lisbn}", (7, 18), "timezone: there is no zone “Europe/Lisbn”; did you"),
    "a zone out of the way": ("shop: {timezone: ../../etc/passwd}", (7, 18), "timezone: there is no zone"),
    "unknown unit": ("show: {lengths: inch 1/3}", (7, 17), "lengths: must be mm, or inch with a fraction"),
    "a word nobody declares": ("kinds: {bend: {means: x, needs: [hott]}}", (7, 33), "no kind declares the word hott"),
    "a kind to drop": ("kinds: {wled: null}", (7, 9), "there is no kind wled to drop; did you mean weld?"),
    "a kind with nothing": ("kinds: {bend: 3}", (7, 15), "kind bend: must be keys and values, or null to drop it"),
    "a kind against itself": (
        "kinds: {bend: {means: x, needs: [cleaned], spoils: [cleaned]}}",
        (7, 15),
        "kind bend: spoils cleaned, which it needs itself",
    ),
    "on camera": ("on-camera: {needs: [a.flatt]}", (7, 21), "on-camera needs: no condition a.flatt is declared"),
}


@pytest.mark.parametrize(("keys", "place", "message"), JOBS.values(), ids=JOBS.keys())
def test_a_job_with_one_thing_wrong(tmp_path: Path, keys: str, place: tuple[int, int], message: str) -> None:
    ((file, line, column, says),) = told(with_job(tmp_path, keys + "\n"))
    assert (file, line, column) == ("build.yaml", *place), says
    assert message in says


def test_a_word_of_a_kind_that_nobody_declares_does_not_hide_the_rest(tmp_path: Path) -> None:
    """The kind is used all the same, so that the other problems of its steps are told too."""
    folder = with_job(tmp_path, "kinds: {bend: {means: x, needs: [hott, cool]}}\n")
    write(folder, {EPISODE: SMALL_EPISODE + "        kind: bend\n        piece: foot\n        gives: [nothing]\n"})
    assert [(file, line) for file, line, _, _ in told(folder)] == [("build.yaml", 7), (EPISODE, 11)]


#: Whole episode files.
FILES: dict[str, tuple[str | bytes, tuple[int, int], str]] = {
    "empty": ("", (1, 1), "the file is empty; it must at least say format: 1"),
    "only a comment": ("# later\n", (1, 1), "the file is empty; it must at least say format: 1"),
    "a text": ("hello\n", (1, 1), "the episode: must be a mapping of keys and values, not the text “hello”"),
    "a list": ("- hello\n", (1, 1), "the episode: must be a mapping of keys and values, not a list"),
    "nothing": ("~\n", (1, 1), "the episode: must be a mapping of keys and values, not nothing"),
    "two documents": (SMALL_EPISODE + "---\na: b\n", (9, 1), "a second document begins here; one file holds one"),
    "text after the end": (SMALL_EPISODE + "...\na: b\n", (10, 1), "did not find expected <document start>"),
    "binary": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), (1, 1), "the file is not UTF-8; save it as UTF-8 text"),
    "zeros": (bytes(5000), (1, 1), "the file is not plain text; save it as UTF-8 text"),
    "UTF-16": (SMALL_EPISODE.encode("utf-16"), (1, 1), "the file is UTF-16; save it as UTF-8 text"),
    "UTF-16, no mark": (SMALL_EPISODE.encode("utf-16-le"), (1, 2), "the file is not plain text; save it as UTF-8"),
    "Latin-1": (
        SMALL_EPISODE.replace("Saw it", "Für Öl").encode("latin-1"),
        (8, 14),
        "the file is not UTF-8; save it as UTF-8 text",
    ),
    "cut in a letter": (
        SMALL_EPISODE.replace("Saw it", "Sägen – ö").encode()[:-2],
        (8, 21),
        "the file is not UTF-8; save it as UTF-8 text",
    ),
    "old line ends": (SMALL_EPISODE.replace("\n", "\r"), (1, 10), "a line ends in a bare carriage return"),
    "one bare return": (SMALL_EPISODE.replace("Trial", "Tri\ral"), (3, 11), "a line ends in a bare carriage return"),
    "U+0085": (SMALL_EPISODE.replace("Saw it", "Saw\x85it"), (8, 16), "the character U+0085 cannot stand in a plan"),
    "U+2028": (SMALL_EPISODE.replace("Saw it", "Saw\u2028it"), (8, 16), "the character U+2028 cannot stand in a plan"),
    "U+2029": (SMALL_EPISODE.replace("Saw it", "Saw\u2029it"), (8, 16), "the character U+2029 cannot stand in a plan"),
    "escape": (SMALL_EPISODE.replace("Saw it", "\x1b[31mSaw"), (8, 13), "the character U+001B cannot stand in a plan"),
    "C1": (SMALL_EPISODE.replace("Saw it", "\x9b31mSaw"), (8, 13), "the character U+009B cannot stand in a plan"),
    "in a comment": (SMALL_EPISODE + "# \x1b]0;title\n", (9, 3), "the character U+001B cannot stand in a plan"),
    "second mark": ("\ufeff\ufeff" + SMALL_EPISODE, (1, 1), "the character U+FEFF cannot stand in a plan file"),
    "newer format": (SMALL_EPISODE.replace("format: 1", "format: 2"), (1, 9), "format 2 is newer than this planner"),
    "format as a text": (
        SMALL_EPISODE.replace("format: 1", "format: '1'"),
        (1, 9),
        "format: must be 1, not the text",
    ),
    "no format": (SMALL_EPISODE.replace("format: 1\n", ""), (1, 1), "the episode lacks the key format:"),
    "no stages": ("format: 1\nepisode: 1\ntitle: a\n", (1, 1), "the episode lacks the key stages:"),
    "empty stages": ("format: 1\nepisode: 1\ntitle: a\nstages:\n", (4, 8), "stages: must be a list, not nothing"),
    "another number": (SMALL_EPISODE.replace("episode: 1", "episode: 2"), (2, 10), "episode: 2 stands in the file of"),
    "a step twice": (
        SMALL_EPISODE + "      - step: saw\n        do: Again\n",
        (9, 15),
        "step saw is also at ",
    ),
    "no do": (SMALL_EPISODE.replace("        do: Saw it\n", ""), (7, 9), "the step lacks the key do:"),
    "empty do": (SMALL_EPISODE.replace("Saw it", ""), (8, 12), "do: must be text, not nothing"),
    "a step that is none": (
        SMALL_EPISODE + "      - saw\n",
        (9, 9),
        "the step: must be a mapping of keys and values",
    ),
    "a date without a zone": (
        SMALL_EPISODE.replace("stages:", "publish: 2027-02-13 17:00\nstages:"),
        (4, 10),
        "publish: a date needs shop: timezone: in build.yaml",
    ),
    "a stage twice in rounds": (
        SMALL_EPISODE.replace("    steps:", "    rounds: 2\n    steps:") + "        rounds: 2\n",
        (10, 17),
        "rounds: the stage has rounds, so its steps have none of their own",
    ),
    "a sequence with a stranger": (
        SMALL_EPISODE + "    sequence: [saw@near, saw@fra]\n",
        (9, 26),
        "sequence: saw@fra is not an operation of this stage, nor rework; did you mean saw@far?",
    ),
    "a sequence with one twice": (
        SMALL_EPISODE + "    sequence: [saw@near, saw@near]\n",
        (9, 26),
        "sequence: saw@near stands here twice; only rework may be repeated",
    ),
    "a sequence with a number": (
        SMALL_EPISODE + "    sequence: [12]\n",
        (9, 16),
        "sequence: must be text, not the",
    ),
    "a comma in braces": (
        SMALL_EPISODE + "      - {step: file, do: File it, both faces}\n",
        (9, 35),
        "the step has no key “both faces”; inside { } a comma ends a text: put the text in quotes",
    ),
    "far too many operations": (
        SMALL_EPISODE + "".join(f"      - {{step: s{n}, do: x, rounds: 99}}\n" for n in range(1100)),
        (5, 5),
        "the build comes to more than 200,000 operations here; use fewer rounds",
    ),
}


@pytest.mark.parametrize(("content", "place", "message"), FILES.values(), ids=FILES.keys())
def test_a_file_with_one_thing_wrong(
    tmp_path: Path, content: str | bytes, place: tuple[int, int], message: str
) -> None:
    ((file, line, column, says),) = told(with_episode(tmp_path, content))
    assert (file, line, column) == (EPISODE, *place), says
    assert message in says


FINE = {
    "byte-order mark": "\ufeff" + SMALL_EPISODE,
    "Windows line ends": SMALL_EPISODE.replace("\n", "\r\n"),
    "document marks": "---\n" + SMALL_EPISODE + "...\n",
    "directive": "%YAML 1.1\n---\n" + SMALL_EPISODE,
    "letters of all the world": SMALL_EPISODE.replace("Saw it", "Säge 鋸 🪚 \u00a0 ×½±"),
    "no end of line at the end": SMALL_EPISODE.rstrip("\n"),
}


@pytest.mark.parametrize("content", FINE.values(), ids=FINE.keys())
def test_what_is_fine(tmp_path: Path, content: str) -> None:
    assert loaded(with_episode(tmp_path, content)).episodes[0].stages[0].steps[0].id == "saw"


def test_all_problems_of_all_files_at_once(tmp_path: Path) -> None:
    folder = write(
        tmp_path,
        {
            "build.yaml": JOB.replace("lengths", "lenghts").replace("level: {means", "level: {mean"),
            "episodes/01-lines.yaml": FIRST.replace("kind: mark", "kind: makr").replace("18 min", "18 mins"),
            "episodes/02-broken.yaml": b"title: [\n",
            "episodes/03-latin.yaml": "# ö".encode("latin-1"),
            "episodes/four.yaml": "format: 1\n",
            "episodes/05-upper.YAML": "format: 1\n",
            "numbers.yaml": "format: 3\n",
        },
    )
    assert [(file, line, column) for file, line, column, _ in told(folder)] == [
        ("build.yaml", 6, 8),
        ("build.yaml", 21, 10),
        ("build.yaml", 21, 11),
        ("episodes/01-lines.yaml", 6, 10),
        ("episodes/01-lines.yaml", 26, 15),
        ("episodes/02-broken.yaml", 2, 1),
        ("episodes/03-latin.yaml", 1, 3),
        ("episodes/05-upper.YAML", 1, 1),
        ("episodes/four.yaml", 1, 1),
        ("numbers.yaml", 1, 9),
    ]
    assert not [message for *_, message in told(folder) if "after" in message or "gusset" in message]


def test_what_an_unreadable_episode_may_hold_is_not_missed(tmp_path: Path) -> None:
    """Steps and pieces that may stand in it are not told as unknown: mend the file first."""
    second = FULL["episodes/02-together.yaml"]
    needs = second.replace("setup: in-vice", "setup: in-vice, needs: [bracket.cleaned, plate.cleaned]")
    broken = write(tmp_path, {**FULL, "episodes/01-lines.yaml": "title: [\n", "episodes/02-together.yaml": needs})
    ((file, _, _, _),) = told(broken)
    assert file == "episodes/01-lines.yaml"
    whole = write(tmp_path, {**FULL, "episodes/01-lines.yaml": SMALL_EPISODE, "episodes/02-together.yaml": needs})
    messages = [message for *_, message in told(whole)]
    assert any("there is no step mark" in message for message in messages)
    assert any("plate.cleaned" in message for message in messages)


def test_steps_that_wait_for_one_another_are_a_trap_and_no_problem(tmp_path: Path) -> None:
    """A circle is wrong with the plan, not with the file: it is read, and judged."""
    more = (
        "        after: [file]\n      - {step: file, do: x, after: [saw]}\n      - {step: oil, do: x, after: [oil]}\n"
    )
    folder = with_episode(tmp_path, SMALL_EPISODE + more)
    loaded(folder)
    said = planner("check", str(folder), "--json")
    assert said.code == 1
    circles = [(each["at"], each["where"]) for each in said.json["findings"] if each["rule"] == "cycle"]
    assert circles == [("saw", f"{folder / EPISODE}:7:9"), ("oil", f"{folder / EPISODE}:11:9")]


def test_two_files_of_one_episode(tmp_path: Path) -> None:
    more = SMALL_EPISODE.replace("step: saw", "step: file")
    folder = write(with_episode(tmp_path, SMALL_EPISODE), {"episodes/1-again.yaml": more})
    ((file, line, column, message),) = told(folder)
    assert (file, line, column) == ("episodes/1-again.yaml", 1, 1)
    assert message.startswith("episode 1 is also in ") and "01-trial.yaml" in message
