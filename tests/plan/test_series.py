"""The findings of the series, by example, and the story that is told of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run, run_json

JOB = "format: 1\nbuild: Cart\nsides: [left, right]\nshop: {timezone: UTC}\n"
NOW = ("--now", "2027-06-01T00:00:00Z")


def cart(home: Path, job: str = JOB, **episodes: str) -> Path:
    """A build of these episodes: what stands above ``stages:``, and the steps when told so."""
    files = {"build.yaml": job}
    for name, head in episodes.items():
        number = int(name[1:])
        steps = f"  - stage: Work\n    steps:\n      - {{step: s{number}, do: Do it, sides: once}}\n"
        body = head if "stages:" in head else f"{head}stages:\n{steps}"
        files[f"episodes/{number:02}-x.yaml"] = f"format: 1\nepisode: {number}\ntitle: T{number}\n{body}"
    return write_files(home / "cart", files)


def told(folder: Path, *more: str) -> tuple[int, Any]:
    return run_json("story", str(folder), *(more or NOW))


def rows(answer: Any) -> set[tuple[str, str, str]]:
    return {(each["rule"], each["level"], each["at"]) for each in answer["findings"]}


def test_a_promise_that_is_kept_in_other_spacing_is_kept(tmp_path: Path) -> None:
    folder = cart(tmp_path, e1="promises: [A gate  that closes]\n", e2="keeps: [a gate that closes]\n")
    code, answer = told(folder)
    assert (code, rows(answer)) == (0, set())
    assert answer["promises"] == [{"says": "A gate  that closes", "made": 1, "by": None, "kept": 2}]


@pytest.mark.parametrize(
    ("by", "keeps", "level"),
    [
        ("3", 2, None),
        ("2", 3, "notice"),
        ("2027-07-01", None, "notice"),
        ("2027-05-01", None, "trap"),
        ("2027-05-01 12:00", None, "trap"),
    ],
)
def test_a_promise_by_then(tmp_path: Path, by: str, keeps: int | None, level: str | None) -> None:
    heads = {"e1": f"promises: [{{says: It rolls, by: {by}}}]\n", "e2": "", "e3": ""}
    if keeps is not None:
        heads[f"e{keeps}"] = "keeps: [It rolls]\n"
    code, answer = told(cart(tmp_path, **heads))
    at = "(episode 2)" if by == "2" else "(episode 1)"
    assert rows(answer) == (set() if level is None else {("promise-open", level, at)})
    assert code == (1 if level == "trap" else 0)


def test_a_promise_by_an_episode_is_a_trap_once_all_of_that_is_ticked(tmp_path: Path) -> None:
    folder = cart(tmp_path, e1="promises: [{says: It rolls, by: 2}]\n", e2="", e3="keeps: [It rolls]\n")
    OneBuild(folder, "bench").tick("s2", anyway=True)
    code, answer = told(folder)
    assert ("promise-open", "trap", "(episode 2)") in rows(answer)
    assert code == 1


@pytest.mark.parametrize(
    "keeps", [{"e2": "keeps: [X]\n", "e3": "keeps: [X]\n"}, {"e3": "keeps: [Y]\n", "e2": "keeps: [X]\n"}]
)
def test_kept_twice_or_never_made(tmp_path: Path, keeps: dict[str, str]) -> None:
    _, answer = told(cart(tmp_path, e1="promises: [X]\n", **keeps))
    assert rows(answer) == {("promise-twice", "notice", "(episode 3)")}


@pytest.mark.parametrize(("to", "ahead"), [("1", False), ("2", True), ("3", True), ("9", True), ("'the radio'", False)])
def test_references(tmp_path: Path, to: str, ahead: bool) -> None:
    _, answer = told(cart(tmp_path, e1="", e2=f"refers-to: [{to}]\n", e3=""))
    assert rows(answer) == ({("refers-ahead", "notice", "(episode 2)")} if ahead else set())


def test_a_reference_to_what_is_not_out_by_then(tmp_path: Path) -> None:
    late, soon = "publish: 2027-03-02 10:00\n", "publish: 2027-03-01 10:00\nrefers-to: [{episode: 1, says: why}]\n"
    _, answer = told(cart(tmp_path, e1=late, e2=soon))
    assert rows(answer) == {("refers-ahead", "notice", "(episode 2)")}
    folder = cart(tmp_path, e1=late, e2="refers-to: [{build: barrow, episode: 7}]\n")
    assert rows(told(folder)[1]) == set()


@pytest.mark.parametrize(("lengths", "found"), [((50, 55), False), ((50, 75), True), ((None, 10), False)])
def test_run_time_is_judged_only_where_every_shot_has_a_length(
    tmp_path: Path, lengths: tuple[int | None, int], found: bool
) -> None:
    shots = ", ".join("{shot: A" + (f", length: {each} s" if each else "") + "}" for each in lengths)
    steps = f"stages:\n  - stage: W\n    steps:\n      - {{step: a, do: A, sides: once, shots: [{shots}]}}\n"
    _, answer = told(cart(tmp_path, e1=f"runtime: 100 s\n{steps}"))
    assert rows(answer) == ({("run-time", "notice", "(episode 1)")} if found else set())


def test_the_run_time_comes_from_shots_and_else_from_words(tmp_path: Path) -> None:
    """183 words take a minute (Brysbaert 2019); a side that is off camera shows nothing."""
    say = " ".join(["word"] * 61)
    steps = (
        "film: left\nstages:\n  - stage: W\n    steps:\n"
        f"      - {{step: a, do: A, say: {say}}}\n"
        f"      - {{step: b, do: B, say: {say}, shots: [{{shot: x, length: 7 s}}]}}\n"
        "      - {step: c, do: C, rounds: 3, shots: [{shot: y, length: 5 s, speed: 8}]}\n"
    )
    _, answer = told(cart(tmp_path, e1=steps))
    assert answer["episodes"][0]["estimated_s"] == 20 + 7 + 5


def test_filmed_seconds_and_what_was_not_filmed(tmp_path: Path) -> None:
    steps = "film: left\nstages:\n  - stage: W\n    steps:\n      - {step: a, do: A}\n      - {step: b, do: B}\n"
    folder = cart(tmp_path, e1=steps)
    now = [1_800_000_000.0]
    one = OneBuild(folder, "bench", lambda: now[0])
    one.remark("a@left", [{"did": "rolling"}])
    now[0] += 30
    one.tick("a@left")
    now[0] += 10
    one.remark("a@left", [{"did": "stopped"}])
    now[0] += 5
    one.tick("a@right")
    one.tick("b@left")
    _, answer = told(folder)
    assert answer["episodes"][0]["filmed_s"] == 40
    assert answer["not_filmed"] == ["b@left"]
    assert ("not-filmed", "notice", "b@left") in rows(answer)
    now[0] += 5  # the other side is filmed in its place: made up for
    one.remark("b@right", [{"did": "rolling"}])
    one.tick("b@right")
    assert told(folder)[1]["not_filmed"] == []


def test_the_filmed_side_changes_unsaid(tmp_path: Path) -> None:
    plain = "stages:\n  - stage: W\n    steps:\n      - {step: a, do: A}\n"
    _, answer = told(cart(tmp_path, e1=plain))
    assert rows(answer) == {("side-jump", "notice", "a@right")}
    stated = plain.replace("  - stage: W\n", "  - stage: W\n    film: all\n")
    assert rows(told(cart(tmp_path, e1=stated))[1]) == set()
    assert rows(told(cart(tmp_path, e1="film: left\n" + plain))[1]) == set()


def test_a_sponsor_without_words_is_a_trap(tmp_path: Path) -> None:
    code, answer = told(cart(tmp_path, e1="sponsors: [{who: A mill, from: steel}]\n"))
    assert (code, rows(answer)) == (1, {("unsaid-sponsor", "trap", "(episode 1)")})
    code, answer = told(cart(tmp_path, e1="sponsors: [{who: A mill, says: The steel was given, from: steel}]\n"))
    assert (code, rows(answer)) == (0, set())
    assert answer["episodes"][0]["sponsors"] == [{"who": "A mill", "says": "The steel was given", "from": "steel"}]


def test_corrections_are_told_in_text_and_json(tmp_path: Path) -> None:
    folder = cart(tmp_path, e1="", e2="corrects: [{episode: 1, says: It was 40 not 14, safety: true}]\n")
    _, answer = told(folder)
    assert answer["corrections"] == [{"episode": 1, "says": "It was 40 not 14", "safety": True, "in": 2}]
    assert "SAFETY: episode 2 corrects episode 1: It was 40 not 14" in run("story", str(folder), *NOW)[1]


@pytest.mark.parametrize(
    ("head", "says"),
    [
        ("promises: [{by: 3}]\n", "lacks the key says:"),
        ("promises: [{says: X, by: soon}]\n", "neither an episode's number nor a date"),
        ("promises: [{says: X, by: 0}]\n", "a whole number from 1"),
        ("refers-to: [{says: why}]\n", "must be an episode's number, or a build"),
        ("corrects: [X]\n", "corrects: must be {episode: 2"),
        ("corrects: [{episode: 1, says: X, safety: maybe}]\n", "true or false"),
        ("sponsors: [X]\n", "sponsors: must be {who:"),
        ("runtime: 0 s\n", "a film of no length"),
    ],
)
def test_bad_input_is_one_line_with_its_place(tmp_path: Path, head: str, says: str) -> None:
    code, answer = told(cart(tmp_path, e1=head))
    assert code == 2
    assert len(answer["problems"]) == 1
    problem = answer["problems"][0]
    assert says in problem["message"]
    assert (problem["line"], problem["path"].endswith("01-x.yaml")) == (4, True)


def test_a_picture_may_need_something(tmp_path: Path) -> None:
    """A shot that wants the housing apart is a need of the operation, where it is on camera."""
    job = JOB + "film: left\nconditions: {box.open: {kept: job, means: the box is open}}\nstart: [box.open]\n"
    steps = (
        "stages:\n  - stage: W\n    steps:\n"
        "      - {step: shut, do: Shut it, sides: once, spoils: [box.open]}\n"
        "      - {step: look, do: Look, shots: [{shot: Inside, size: close, of: the gear, needs: [box.open]}]}\n"
    )
    code, answer = run_json("check", str(cart(tmp_path, job, e1=steps)))
    assert code == 1
    found = [(each["rule"], each["at"], each["condition"]) for each in answer["findings"]]
    assert found == [("spoiled", "look@left", "box.open")]


@pytest.mark.parametrize(
    ("shot", "says"),
    [
        ("{size: wide}", "lacks the key shot:"),
        ("{shot: X, size: huge}", "must be wide or medium"),
        ("{shot: X, speed: 0}", "must be a number above 0"),
        ("{shot: X, needs: [nothing.here]}", "nothing.here"),
    ],
)
def test_bad_shots(tmp_path: Path, shot: str, says: str) -> None:
    steps = f"stages:\n  - stage: W\n    steps:\n      - {{step: a, do: A, shots: [{shot}]}}\n"
    code, answer = told(cart(tmp_path, e1=steps))
    assert code == 2
    assert says in answer["problems"][0]["message"]


def test_what_viewers_are_told_counts_in_a_check(tmp_path: Path) -> None:
    """The shoot itself, which sides and what was missed, is told by the story alone."""
    folder = cart(tmp_path, e1="promises: [{says: It rolls, by: 2027-05-01}]\n", e2="refers-to: [2]\n")
    OneBuild(folder, "bench").tick("s1", anyway=True)
    for more, code in (((), 1), (("--plan",), 1)):
        found_code, answer = run_json("check", str(folder), *more, *NOW)
        assert found_code == code
        assert rows(answer) == {("promise-open", "trap", "(episode 1)"), ("refers-ahead", "notice", "(episode 2)")}
        assert answer["counts"] == {"trap": 1, "gap": 0, "notice": 1}
    assert "promise-open" in run("check", str(folder), *NOW)[1]
    assert ("not-filmed", "notice", "s1") in rows(told(folder)[1])


def test_references_in_a_circle_are_one_notice_each(tmp_path: Path) -> None:
    """The first of two that refer to each other refers ahead; one that refers to itself does too."""
    _, answer = told(cart(tmp_path, e1="refers-to: [2]\n", e2="refers-to: [1, 2]\n"))
    assert rows(answer) == {("refers-ahead", "notice", "(episode 1)"), ("refers-ahead", "notice", "(episode 2)")}
    assert run("story", str(tmp_path / "cart"), *NOW)[0] == 0


def test_a_promise_that_nobody_made(tmp_path: Path) -> None:
    _, answer = told(cart(tmp_path, e1="keeps: [X]\n"))
    assert rows(answer) == {("promise-twice", "notice", "(episode 1)")}
    assert "no episode up to it makes that promise" in answer["findings"][0]["says"]
