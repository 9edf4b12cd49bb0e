"""The questions that lead to a new build: what is asked, what may be chosen, what cannot be. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from planner.files.editing.episodes import slug_of
from planner.files.starters.make import BLANK, Offer, Wish, comes_problem
from planner.plan.comes import WAYS, ComesError, read_all
from planner.plan.model import RESERVED_SIDES
from planner.plan.words import counted, is_name
from planner.reserved import RESERVED_BUILDS
from planner.telling.looks import Line, line

MOST_SIDES, MOST_EPISODES, LONGEST_NAME = 8, 60, 64


class Choice(NamedTuple):
    """One answer to choose: its value, and what it is in two lines."""

    value: str
    head: str
    says: str = ""


class Answers(NamedTuple):
    """What has been answered, by question; empty: not yet."""

    job: str = ""
    title: str = ""
    name: str = ""
    sides: str = ""
    units: str = ""
    episodes: str = ""
    comes: str = ""


class Question(NamedTuple):
    """One page: what is asked, what helps to answer it, what may be chosen, and whether it may be typed."""

    key: str
    ask: str
    says: tuple[str, ...]
    choices: tuple[Choice, ...] = ()
    typed: bool = False
    value: str = ""  # what stands there first


OPEN = "open"
UNITS = (
    Choice("inch 1/32|F", "inches to 1/32, degrees Fahrenheit"),
    Choice("inch 1/16|F", "inches to 1/16, degrees Fahrenheit"),
    Choice("inch 1/64|F", "inches to 1/64, degrees Fahrenheit"),
    Choice("mm|C", "millimetres, degrees Celsius"),
    Choice("inch 1/32|C", "inches to 1/32, degrees Celsius"),
    Choice(OPEN, "leave it open: as sizes are typed"),
)
_SIDES = (
    ("driver, passenger", "the two sides of a vehicle"),
    ("left, right", "two sides"),
    ("front-left, front-right, rear-left, rear-right", "four corners"),
    ("one, two", "two of a kind, side by side"),
    ("only", "one side: nothing is done twice"),
)
MAKE, BACK = "make", "back"


def questions(answers: Answers) -> tuple[str, ...]:
    """The questions in order; a starter has its episodes already."""
    count = ("episodes",) if answers.job == BLANK else ()
    return ("job", "title", "name", "sides", "units", *count, "comes", "make")


def offer_of(answers: Answers, offers: Sequence[Offer]) -> Offer | None:
    """The starter that was chosen."""
    return next((offer for offer in offers if offer.starter == answers.job), None)


def question(key: str, answers: Answers, offers: Sequence[Offer], taken: Collection[str]) -> Question:
    """A page, with what is known so far already in it."""
    offer = offer_of(answers, offers)
    if key == "job":
        return Question(
            key, "What do you build?",
            ("Each is a whole order of work, free of traps, to change as you like. The last one begins from nothing.",),
            tuple(_job(each) for each in offers), value=answers.job,
        )  # fmt: skip
    if key == "title":
        first = offer.title if offer is not None and offer.starter != BLANK else ""
        return Question(
            key, "What is the build called?", ("Its title, as viewers would say it.",), typed=True,
            value=answers.title or first,
        )  # fmt: skip
    if key == "name":
        return Question(
            key, "What shall its folder be called?",
            ("The build is a folder of plain text files. Lower-case letters, digits and hyphens.",), typed=True,
            value=answers.name or free_name(slug_of(answers.title, "my-build"), {*taken, *RESERVED_BUILDS}),
        )  # fmt: skip
    if key == "sides":
        return _sides(answers, offer)
    if key == "units":
        return Question(
            key, "How shall sizes and temperatures be shown?",
            ("You type lengths with their unit either way, such as 54 7/8 in or 1394 mm.",), UNITS,
            value=answers.units,
        )  # fmt: skip
    if key == "episodes":
        return Question(
            key, "How many episodes?", ("More can be added, and empty ones taken out, at any time.",),
            tuple(Choice(str(n), counted(n, "episode")) for n in range(1, 13)), typed=True,
            value=answers.episodes or "3",
        )  # fmt: skip
    if key == "comes":
        own = offer.pieces if offer is not None else ()
        return Question(
            key, "How do the pieces come?",
            (
                "Such as: housing oily, bearings-in; truck battery-on. Leave it empty where all comes clean and bare.",
                *(("The starter has " + ", ".join(own) + ", with how they usually come.",) if own else ()),
                f"A piece may come {', '.join(WAYS)}.",
            ),
            typed=True, value=answers.comes,
        )  # fmt: skip
    return Question(
        key, "Make it?", (),
        (Choice(MAKE, "Make it, and open its plan"), Choice(BACK, "Change something: back to the question before")),
    )  # fmt: skip


def _job(offer: Offer) -> Choice:
    if offer.starter == BLANK:
        return Choice(BLANK, "Something else, from nothing", "a first stage to write over; you give sides and episodes")
    size = f"{counted(offer.episodes, 'episode')}, {offer.operations} operations"
    return Choice(offer.starter, offer.title, f"{size}; sides {', '.join(offer.sides)}")


def _sides(answers: Answers, offer: Offer | None) -> Question:
    says: tuple[str, ...] = (
        "Each step is done once a side. One to eight names, with commas between them.",
        "Choose with the arrows, or type your own.",
    )
    own = ", ".join(offer.sides) if offer is not None and offer.starter != BLANK else ""
    choices = [Choice(own, own, "as the starter has them")] if own else []
    if offer is not None and offer.names_sides:
        says = ("The steps of this starter name its sides. They keep their names; their order may be changed.",)
    else:
        choices += [Choice(value, value, what) for value, what in _SIDES if value != own]
    return Question(
        "sides", "Which sides does the work have?", says, tuple(choices), True, answers.sides or choices[0].value
    )


def free_name(wanted: str, taken: Collection[str]) -> str:
    """A folder name that is not taken."""
    name, number = wanted, 1
    while name in taken:
        number += 1
        name = f"{wanted}-{number}"
    return name


def sides_in(text: str) -> list[str]:
    """Names of sides as they were typed."""
    return [part for part in text.replace(",", " ").split() if part]


def wrong(key: str, value: str, answers: Answers, offers: Sequence[Offer], taken: Collection[str]) -> str:
    """Why an answer cannot be; nothing where it can."""
    value = value.strip()
    if key == "title" and (not value or not value.isprintable()):
        return "the build needs a title in plain text" if not value else "a character in it cannot be printed"
    if key == "name":
        if not is_name(value) or len(value) > LONGEST_NAME:
            return f"use up to {LONGEST_NAME} lower-case letters, digits and hyphens, such as {_example(value)}"
        if value in RESERVED_BUILDS:
            return f"{value} is a command of the planner, and could not be opened by name; choose another"
        if value in taken:
            return f"there is a {value} already; {free_name(value, taken)} is free"
    if key == "sides":
        return _wrong_sides(sides_in(value), offer_of(answers, offers))
    if key == "comes":
        try:
            found = comes_problem(answers.job, read_all(value))
        except ComesError as error:
            return str(error)
        return str(found) if found is not None else ""
    if key == "episodes" and not (value.isascii() and value.isdigit() and 1 <= int(value) <= MOST_EPISODES):
        return f"a number from 1 to {MOST_EPISODES} is wanted"
    return ""


def _example(value: str) -> str:
    return slug_of(value, "my-build")


def _wrong_sides(sides: Sequence[str], offer: Offer | None) -> str:
    if not sides or len(sides) > MOST_SIDES:
        return "a build has one side to eight"
    for side in sides:
        if side in RESERVED_SIDES:
            return f"no side may be called {side}: the word means something in a step; choose another"
        if not is_name(side):
            return f"“{side}” is not a name for a side: lower-case letters, digits, hyphens, such as {_example(side)}"
    if len(set(sides)) < len(sides):
        return "two sides have the same name; name each once"
    if offer is not None and offer.names_sides and set(sides) != set(offer.sides):
        return f"the steps of this starter name {', '.join(offer.sides)}; keep these names, in any order"
    return ""


def put(answers: Answers, key: str, value: str) -> Answers:
    """The answers with one more. Another job changes what was only proposed."""
    if key not in Answers._fields:
        return answers
    if key == "job" and value != answers.job:
        return Answers(job=value)
    if key == "title" and value != answers.title:
        answers = answers._replace(name="")
    return answers._replace(**{key: value.strip()})


def wish_of(answers: Answers) -> Wish:
    """The build that the answers ask for."""
    lengths, _, temperature = answers.units.partition("|")
    show = {"lengths": lengths, "temperature": temperature} if temperature else {}
    episodes = int(answers.episodes) if answers.job == BLANK and answers.episodes else None
    comes = read_all(answers.comes)
    return Wish(answers.name, answers.title, answers.job, sides_in(answers.sides), show, episodes, comes)


def summary(answers: Answers, offers: Sequence[Offer], home: str) -> list[Line]:
    """What was answered so far, a line each."""
    offer = offer_of(answers, offers)
    from_ = ("nothing" if offer.starter == BLANK else offer.title) if offer is not None else ""
    units = next((choice.head for choice in UNITS if choice.value == answers.units), "")
    episodes = (answers.episodes or "1") if answers.job == BLANK else str(offer.episodes) if offer is not None else ""
    folder = f"{answers.name} in {home}" if answers.name else ""
    rows = [
        ("begins from", from_), ("title", answers.title), ("folder", folder),
        ("sides", answers.sides), ("shown in", units), ("episodes", episodes),
        ("pieces come", answers.comes),
    ]  # fmt: skip
    return [line((f"{word:<12}", "head"), value) for word, value in rows if value]
