"""The oracles themselves, on cases small enough to be worked out by hand (in the comment beside each)."""

from __future__ import annotations

from dataclasses import replace

from tests.oracle import plain, simulated
from tests.oracle.plain import Failure, ground, grounded
from tests.oracle.planned import planned_order
from tests.oracle.shapes import Build, Episode, Stage, Step
from tests.oracle.turning import broken_turns, consistent

CONDITIONS = {"smooth": "side", "true": "job"}


def one_stage(*steps: Step, sides: tuple[str, ...] = ("l", "r"), stage: Stage | None = None) -> Build:
    """A build of a single stage; `stage` gives everything but the steps."""
    made = replace(stage, steps=steps) if stage else Stage("S", steps)
    return Build(sides, CONDITIONS, (Episode(1, (made,)),))


def test_turns_of_a_step() -> None:
    """Round by round, side by side, or by a list that beats `first`."""
    a = Step("a", rounds=2)
    assert planned_order(one_stage(a)) == ["a#1@l", "a#1@r", "a#2@l", "a#2@r"]
    a = Step("a", rounds=2, turns="side-first", first="r")
    assert planned_order(one_stage(a)) == ["a#1@r", "a#2@r", "a#1@l", "a#2@l"]
    a = Step("a", turns=("r", "l"), first="l")
    assert planned_order(one_stage(a)) == ["a@r", "a@l"]
    a = Step("a", sides=("l",), first="r", why=True)
    assert planned_order(one_stage(a)) == ["a@l"]


def test_side_first_runs() -> None:
    """Runs go wholly side by side; once and stated turns end a run; a step's own first counts not in one."""
    stage = Stage("S", (), pace="side-first", first="r")
    steps = (
        Step("a", first="l"),
        Step("b", rounds=2),
        Step("c", sides="once"),
        Step("d"),
        Step("e", turns=("l", "r")),
    )
    assert planned_order(one_stage(*steps, stage=stage)) == [
        *("a@r", "b#1@r", "b#2@r", "a@l", "b#1@l", "b#2@l"),
        *("c", "d@r", "d@l", "e@l", "e@r"),
    ]


def test_passes() -> None:
    """The whole list again each time, the pass in the name."""
    build = one_stage(Step("a"), Step("b", sides="once"), stage=Stage("S", (), rounds=2))
    assert planned_order(build) == ["a#1@l", "a#1@r", "b#1", "a#2@l", "a#2@r", "b#2"]


def test_references() -> None:
    """Own side, every side when done once, all, others, one by name; others of one side is nothing."""
    build = one_stage(sides=("l", "r", "m"))
    assert grounded("smooth", "l", build) == {"smooth@l"}
    assert grounded("smooth", None, build) == {"smooth@l", "smooth@r", "smooth@m"}
    assert grounded("smooth@all", "l", build) == {"smooth@l", "smooth@r", "smooth@m"}
    assert grounded("smooth@others", "l", build) == {"smooth@r", "smooth@m"}
    assert grounded("smooth@m", "l", build) == {"smooth@m"}
    assert grounded("smooth@others", "l", one_stage(sides=("l",))) == set()
    assert grounded("true", "l", build) == {"true"}


def test_gives_come_at_the_end() -> None:
    """A side's condition with its last round there, the job's with the last of all."""
    build = one_stage(Step("a", rounds=2, gives=("smooth", "true")), Step("b", needs=("smooth", "true")))
    plan = ground(build)
    order = ["a#1@l", "a#2@l", "b@l", "a#1@r", "b@r", "a#2@r"]
    expected = {("b@l", "true"), ("b@r", "smooth@r"), ("b@r", "true")}
    assert plain.failing_pairs(plan, order)[0] == expected
    assert simulated.failing_pairs(plan, order) == expected


def test_rules_and_causes() -> None:
    """True by a@l, false by b@l, never so on the right until a@r."""
    steps = (Step("a", gives=("smooth",)), Step("b", spoils=("smooth",)), Step("c", needs=("smooth", "true")))
    plan = ground(one_stage(*steps))
    walked = plain.walk(plan, ["a@l", "b@l", "c@l", "c@r", "a@r", "b@r"])
    assert walked.needs == (
        Failure("c@l", "smooth@l", (("spoiled", "b@l"),)),
        Failure("c@l", "true", (("never-given", None),)),
        Failure("c@r", "smooth@r", (("given-later", "a@r"),)),
        Failure("c@r", "true", (("never-given", None),)),
    )


def test_spoiled_and_given_ends_true() -> None:
    """Then nothing turned it off."""
    steps = (
        Step("a", gives=("true",), spoils=("true",), sides="once"),
        Step("b", needs=("true",), sides="once"),
    )
    plan = ground(one_stage(*steps))
    assert plain.failing_pairs(plan, ["a", "b"])[0] == set()
    assert simulated.failing_pairs(plan, ["a", "b"]) == set()


def test_after() -> None:
    """On every side; on this side only; of the same pass inside one stage."""
    plan = ground(one_stage(Step("a"), Step("b", after=("a",)), Step("c", after=("a@own",))))
    order = ["a@l", "c@l", "b@l", "c@r", "a@r", "b@r"]
    assert plain.failing_pairs(plan, order)[0] == {("b@l", "after:a"), ("c@r", "after:a")}
    assert simulated.failing_pairs(plan, order) == {("b@l", "after:a"), ("c@r", "after:a")}
    passes = Stage("S", (), rounds=2)
    plan = ground(one_stage(Step("a", sides="once"), Step("b", sides="once", after=("a",)), stage=passes))
    assert plain.failing_pairs(plan, plan.planned)[0] == set()
    assert plain.failing_pairs(plan, ["b#1", "a#1", "b#2", "a#2"])[0] == {
        ("b#1", "after:a"),
        ("b#2", "after:a"),
    }


def test_own_without_a_partner() -> None:
    """The target has nothing on this side: satisfied."""
    build = one_stage(Step("a", sides=("l",), why=True), Step("b", after=("a@own",)))
    plan = ground(build)
    assert plain.failing_pairs(plan, ["b@r", "b@l", "a@l"])[0] == {("b@l", "after:a")}


def test_broken_turns() -> None:
    """One break of each kind, and the operation that should have come first."""
    cases: list[tuple[str | tuple[str, ...] | None, list[str], dict[str, set[str]]]] = [
        (None, ["a#1@l", "a#2@l", "a#1@r", "a#2@r"], {"a#2@l": {"a#1@r", "a#2@r"}}),
        (None, ["a#1@r", "a#1@l", "a#2@l", "a#2@r"], {}),
        ("side-first", ["a#1@l", "a#1@r", "a#2@l", "a#2@r"], {"a#1@r": {"a#2@l", "a#2@r"}}),
        ("side-first", ["a#1@r", "a#2@r", "a#1@l", "a#2@l"], {}),
        (("r", "l"), ["a#1@r", "a#1@l", "a#2@l", "a#2@r"], {"a#2@l": {"a#2@r"}}),
    ]
    for turns, order, expected in cases:
        step = Step("a", rounds=2, turns=turns)
        build = one_stage(step)
        breaks = broken_turns(ground(build).turns["a"], order)
        assert breaks.certain == expected, (turns, order)
        assert consistent(step, build.stages()[0], build.sides, order)  # with one of the other turns


def test_no_turns_at_all() -> None:
    """An order that no kind of turns allows: the right side runs ahead in the last round only."""
    step = Step("a", rounds=3)
    build = one_stage(step)
    order = ["a#1@l", "a#2@l", "a#1@r", "a#2@r", "a#3@r", "a#3@l"]
    assert not consistent(step, build.stages()[0], build.sides, order)
