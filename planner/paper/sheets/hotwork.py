"""The hot-work card: what to see to before the first spark, and until when somebody watches after the last. Pure.

Practice of hot-work permits as 29 CFR 1910.252 and NFPA 51B have it; what a site or an insurer asks for comes first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import (
    SMALL,
    STRONG,
    Blank,
    Block,
    Caution,
    Column,
    Document,
    Heading,
    NewPage,
    Para,
    Row,
    Table,
    Text,
    Tick,
    stack,
)
from planner.paper.sheets import common
from planner.plan.expand import Operation
from planner.plan.messages import split_grounded
from planner.plan.model import Kind
from planner.plan.stories import condition_of
from planner.plan.words import show_duration

#: What the card asks whatever the plan says: a box, what is seen to, and what is written beside it.
BEFORE: tuple[str, ...] = (
    "Looked behind it",
    "Below and inside:",
    "Battery off, by",
    "Earth clamp by the weld, at",
    "Extinguisher, its gauge read, at",
    "Water or sand; within call:",
    "Way out free, fume drawn off, screens up",
    "Combustibles 35 ft (11 m) off, or covered",
    "Tank, fuel and brake lines, hoses moved, emptied and vented, or shielded, how:",
)
_NO_BLANK = frozenset({"Way out free, fume drawn off, screens up", "Combustibles 35 ft (11 m) off, or covered"})
WATCHED, COUPON = "watched", "coupon-good"
_MOST = 16  # paragraphs in a row of two columns
_WORDS = ("heat-safe", "dry", "vented", "arc-safe", "bare", COUPON)  # of the kinds' conditions, what a card asks of


def is_hot(kind: Kind | None) -> bool:
    """Whether work of a kind makes sparks or flame, by what it spoils: somebody must watch after it."""
    if kind is None:
        return False
    return any(ref.name == WATCHED for ref in kind.spoils) or any(ref.name == COUPON for ref in kind.gives)


def document(facts: Facts) -> Document:
    """The paper: of one shift or one episode, or a card for each. Raises NothingToPrintError where nothing is hot."""
    if facts.asked.shift is not None:
        from planner.paper.sheets.shiftsheet import shift_of

        shift = shift_of(facts)
        asked = [op for _, op in shift.parts if facts.asked.side in (None, op.side or facts.asked.side)]
        hot = _hot(facts, {op.name: op for op in asked}.values())
        if not hot:
            raise NothingToPrintError(f"nothing makes sparks in shift {facts.asked.shift}, {shift.head}")
        return facts.document("hot-work", f"Hot-work card, {shift.head}", tuple(_card(facts, hot)))
    plan = facts.one.plan
    ops = _hot(facts, facts.operations())
    if not ops:
        raise NothingToPrintError("no step of this part of the build cuts, grinds, welds or heats")
    episodes = {plan.stages[op.stage][0].number: plan.stages[op.stage][0] for op in ops}
    if len(episodes) == 1:
        (only,) = episodes.values()
        return facts.document(
            "hot-work", f"Hot-work card, episode {only.number}: {only.title}", tuple(_card(facts, ops))
        )
    blocks: list[Block] = []
    for number, episode in episodes.items():
        mine = [op for op in ops if plan.stages[op.stage][0].number == number]
        blocks += [*([NewPage()] if blocks else []), Heading(f"Episode {number}: {episode.title}"), *_card(facts, mine)]
    return facts.document("hot-work", "Hot-work cards", tuple(blocks))


def _hot(facts: Facts, ops: Iterable[Operation]) -> list[Operation]:
    kinds = facts.one.plan.build.kinds
    return [op for op in ops if is_hot(kinds.get(op.step.kind or ""))]


def _card(facts: Facts, ops: list[Operation]) -> Iterator[Block]:
    """One card, short enough to hang by the work: what is asked goes two abreast."""
    plan = facts.one.plan
    watches = [plan.build.kinds[name].time for name in plan.kinds_giving.get(WATCHED, ()) if name in plan.build.kinds]
    watch = next((each for each in watches if each), 3600)
    yield Caution("No spark before every box here is ticked. No permit: the site's rules come first.")
    before: list[Para] = [
        (Tick(False, says),) if says in _NO_BLANK else (Tick(False, says), Blank("", 24)) for says in BEFORE
    ]
    yield _abreast(before, _conditions(facts, ops))
    yield Heading("Work", 2)
    yield _work(facts, ops)
    yield Heading("After the last spark", 2)
    yield _abreast(_after(watch))
    yield Heading("Cautions", 2)
    texts = dict.fromkeys(each for op in ops for each in op.step.cautions)
    yield _abreast([(Text(f"! {text}", STRONG),) for text in texts])


def _abreast(*lists: Sequence[Para]) -> Table:
    """Lists in two columns, the left read down first; so few to a row that any page holds it whole."""
    rows = []
    for paras in lists:
        for at in range(0, len(paras), _MOST):
            some = paras[at : at + _MOST]
            left = (len(some) + 1) // 2
            rows.append(Row((stack(*some[:left]), stack(*some[left:])) if some[left:] else (stack(*some),)))
    return Table((Column(""), Column("")), tuple(rows))


def _conditions(facts: Facts, ops: Iterable[Operation]) -> list[Para]:
    """What the plan wants to hold before this work, once in its own words, ticked where it holds now everywhere."""
    one = facts.one
    shop = _asked_by_most(facts) - {ref.name for ref in one.plan.build.on_camera.needs}
    known = one.plan.build.conditions
    found: dict[str, set[str]] = {}  # what it means -> where
    for op in ops:
        for need in op.needs if one.live.is_open(op) else ():
            spot = condition_of(one.plan, need)
            name, _ = split_grounded(spot)
            word = known[name].word if name in known else None
            if name in shop or (word is not None and word.name in _WORDS):
                found.setdefault(known[name].means, set()).add(spot)
    made: list[Para] = []
    for means, spots in found.items():
        about = {known[name].piece or name for name, _ in map(split_grounded, spots)}
        holds = all(map(one.live.holds, spots))
        made.append((Tick(holds, means), Text(f" ({', '.join(sorted(about))})", SMALL)))
    return made


def _asked_by_most(facts: Facts) -> set[str]:
    """The build's own conditions that most of its hot work needs: these are of the shop, the rest of the piece."""
    plan = facts.one.plan
    hot = {op.step.id: op for op in _hot(facts, plan.operations)}.values()
    counts = Counter(name for op in hot for name in {condition_of(plan, need).partition("@")[0] for need in op.needs})
    own = {name for name, each in plan.build.conditions.items() if each.word is None and each.piece is None}
    return {name for name in own if 2 * counts[name] >= len(hot)}


def _work(facts: Facts, ops: list[Operation]) -> Table:
    rows: list[Row] = []
    for step in dict.fromkeys(op.step.id for op in ops):
        mine = [op for op in ops if op.step.id == step]
        what = stack((*common.step_words(facts, mine[0], None), Text(f" ·\u00a0{step}", SMALL)))
        boxes = [stack(common.boxes(facts, [op for op in mine if op.side == side])) for side in facts.sides]
        once = [op for op in mine if op.side is None]
        rows.append(Row((what, stack(common.boxes(facts, once))) if once else (what, *boxes)))
    return Table((Column("What makes sparks", 4), *(Column(side, 1.2) for side in facts.sides)), tuple(rows))


def _after(watch: int) -> list[Para]:
    return [
        (Blank("Last spark at", 20), Blank("by", 26)),
        (Text(f"Watch {show_duration(watch)}", STRONG), Blank("ends at", 20)),
        (Blank("Watched by", 36),),
        (Tick(False, "Lamp behind, below, inside, at"), Blank("", 18)),
        (Tick(False, "Looked again before locking up, at"), Blank("", 18)),
        (Tick(False, "Gas shut and vented, machine off"),),
    ]
