"""Episode files: stages and steps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from yaml.events import ScalarEvent

from planner.files.build.fields import (
    Source,
    duration,
    kind_of,
    names,
    read_keys,
    sequence,
    text,
)
from planner.files.build.job import Job
from planner.files.build.reads import reads_in_hold, reads_of
from planner.files.build.references import Vocabulary
from planner.files.build.series import publish_of, referred, series_of, shots_of
from planner.files.build.stepkeys import EPISODE_KEYS, EPISODE_WANTED, STAGE_KEYS, STAGE_WANTED, STEP_KEYS, STEP_WANTED
from planner.files.yaml.tree import MapNode, Node, Problems, SeqNode, scalar
from planner.plan.model import (
    ALL,
    ALTERNATE,
    EACH,
    ONCE,
    OTHERS,
    SIDE_FIRST,
    STEP_FIRST,
    After,
    CoolTo,
    Episode,
    Place,
    Reads,
    Ref,
    Stage,
    Step,
)
from planner.plan.words import is_name

if TYPE_CHECKING:
    from planner.files.build.numbers import NumbersFile

MAX_OPERATIONS = 200_000  # a few digits in the wrong place must not fill the memory


class Link(NamedTuple):
    """An ``after`` that waits to be looked up."""

    source: Source
    node: Node
    link: After


class Listed(NamedTuple):
    """A ``sequence`` that waits to be looked up."""

    source: Source
    items: list[Node]
    stage: Stage


class EpisodeReader:
    """Reads the episode files of one build, one after the other, then checks what spans files."""

    def __init__(self, job: Job, vocabulary: Vocabulary, problems: Problems) -> None:
        self.job = job
        self.vocabulary = vocabulary
        self.problems = problems
        self.films = frozenset((*job.sides, ALL, "none"))
        self.numbers: dict[int, str] = {}
        self.ids: dict[str, Place] = {}
        self.steps: dict[str, Step] = {}
        self.links: list[Link] = []
        self.listed: list[Listed] = []
        self.known_numbers: Mapping[str, bool] | None = None  # of numbers.yaml; None: braces stay as written
        self.numbers_file: NumbersFile | None = None
        self.readable_numbers: Mapping[str, bool] | None = None  # inputs and results; None: there is no numbers.yaml
        self.operations = 0

    def read(self, path: str, number: int, root: Node) -> Episode | None:
        """One episode; None where nothing of it can be kept."""
        source = Source(path, self.problems)
        got = read_keys(source, root, "the episode", EPISODE_KEYS, EPISODE_WANTED)
        if not isinstance(root, MapNode):
            return None
        stated = got.get("episode")
        if stated is not None and stated != number:
            source.refuse(
                root.items["episode"][1], f"episode: {stated} stands in the file of episode {number}; make them agree"
            )
        if number in self.numbers:
            source.refuse(root, f"episode {number} is also in {self.numbers[number]}; number one of them anew")
        self.numbers[number] = path
        stages_node = got.get("stages")
        stages = [self.stage(source, node) for node in sequence(source, stages_node, "stages")] if stages_node else []
        publish = publish_of(source, got["publish"], self.job.shop.timezone) if "publish" in got else None
        series = series_of(source, got, self.job.shop.timezone)
        return Episode(
            number,
            got.get("title") or "",
            source.place(root),
            self.film(source, got),
            publish,
            got.get("runtime"),
            got.get("edit"),
            tuple([referred(each) for each in series.refers_to]),
            tuple([each.says for each in series.promises]),
            tuple([each.says for each in series.keeps]),
            tuple([stage for stage in stages if stage is not None]),
            series,
        )

    def film(self, source: Source, got: Mapping[str, Any]) -> str | None:
        node: Node | None = got.get("film")
        if node is None:
            return None
        value = text(source, node, "film")
        if value is not None and value not in self.films:
            source.unknown(node, f"film: must be a side, all or none, not “{value}”", value, self.films)
            return None
        return value

    def side(self, source: Source, got: Mapping[str, Any], key: str) -> str | None:
        node: Node | None = got.get(key)
        if node is None:
            return None
        value = text(source, node, key)
        if value is not None and value not in self.job.sides:
            source.unknown(node, f"{key}: there is no side “{value}”", value, self.job.sides)
            return None
        return value

    def stage(self, source: Source, node: Node) -> Stage | None:
        got = read_keys(source, node, "the stage", STAGE_KEYS, STAGE_WANTED)
        if not isinstance(node, MapNode):
            return None
        rounds = got.get("rounds") or 1
        steps_node = got.get("steps")
        nodes = sequence(source, steps_node, "steps") if steps_node is not None else []
        steps = [self.step(source, each, rounds) for each in nodes]
        stage = Stage(
            got.get("stage") or "",
            source.place(node),
            got.get("pace") or STEP_FIRST,
            rounds,
            self.side(source, got, "first"),
            self.film(source, got),
            tuple([step for step in steps if step is not None]),
            None,
            got.get("any-time") or False,
        )
        before = self.operations
        self.operations += rounds * sum([each.rounds * (1 if each.once else len(each.sides)) for each in stage.steps])
        if before <= MAX_OPERATIONS < self.operations:
            source.refuse(node, f"the build comes to more than {MAX_OPERATIONS:,} operations here; use fewer rounds")
        if "sequence" in got:
            items = sequence(source, got["sequence"], "sequence")
            listed = tuple(text(source, item, "sequence") or "" for item in items)
            stage = stage._replace(sequence=listed)
            self.listed.append(Listed(source, items, stage))
        return stage

    def step(self, source: Source, node: Node, stage_rounds: int) -> Step | None:
        got = read_keys(source, node, "the step", STEP_KEYS, STEP_WANTED)
        if not isinstance(node, MapNode):
            return None
        place = source.place(node)
        step_id: str = got.get("step") or ""
        if step_id:
            other = self.ids.get(step_id)
            if other is not None:
                source.refuse(node.items["step"][1], f"step {step_id} is also at {other}; rename one of them")
            self.ids[step_id] = place
        if self.known_numbers is not None and "{" in (got.get("do") or ""):
            self.check_numbers(source, node.items["do"][1], got["do"], self.known_numbers)
        if self.known_numbers is not None and any("{" in each for each in got.get("say") or ()):
            spoken = node.items["say"][1]
            for item in spoken.items if isinstance(spoken, SeqNode) else (spoken,):
                if isinstance(item, ScalarEvent):
                    self.check_numbers(source, item, item.value, self.known_numbers, "say")
        get = got.get
        once, sides, named = self.sides(source, got, get("piece"))
        rounds = get("rounds") or 1
        if rounds > 1 and stage_rounds > 1:
            source.refuse(node.items["rounds"][1], "rounds: the stage has rounds, so its steps have none of their own")
        rework = get("rework") or False
        if rework and rounds > 1:
            source.refuse(node.items["rounds"][1], "rounds: a rework step has no rounds; it may be put in again")
        needs = self.refs(source, got, "needs", once)
        gives = self.refs(source, got, "gives", once)
        spoils = self.refs(source, got, "spoils", once)
        kind_name, one_way, time, cautions = None, False, get("time"), get("cautions") or ()
        counts_when: tuple[Ref, ...] = ()
        used_up: tuple[Ref, ...] = ()
        balanced = True
        piece = get("piece")
        kind_name = get("kind")
        if kind_name is not None:
            kind = self.job.kinds.get(kind_name)
            if kind is None:
                said = f"kind: there is no kind “{kind_name}” (planner kinds lists them)"
                source.unknown(node.items["kind"][1], said, kind_name, self.job.kinds)
                kind_name = None
            else:
                without = self.without(source, got, piece) if "without" in got else ()
                brought = self.vocabulary.bring(kind, piece, without)
                needs += brought.needs
                gives += brought.gives
                spoils += brought.spoils
                counts_when, used_up = brought.counts_when, brought.used_up
                balanced = "balance" not in without
                one_way = kind.one_way
                if time is None:
                    time = kind.time
                cautions = (*cautions, *kind.cautions) if cautions else kind.cautions
        elif "without" in got:
            source.refuse(got["without"], "without: takes conditions of the kind away, and this step has no kind")
        shots = shots_of(source, got["shots"], self.vocabulary) if "shots" in got else ()
        step = Step(
            step_id,
            get("do") or "",
            place,
            kind_name,
            piece,
            once,
            sides,
            named,
            get("why"),
            rounds,
            self.turns(source, got["turns"], once, sides) if "turns" in got else None,
            self.side(source, got, "first") if "first" in got else None,
            needs,
            gives,
            spoils,
            self.after(source, got["after"], once) if "after" in got else (),
            get("setup"),
            time,
            self.wait(source, got["wait"]) if "wait" in got else 0,
            get("one-way", one_way),
            rework,
            get("where") or "shop",
            get("hands") or 1,
            self.film(source, got) if "film" in got else None,
            tuple([shot.told() for shot in shots]),
            get("say", ()),
            cautions,
            get("note", ()),
            counts_when,
            used_up,
            balanced,
            shots,
            tuple([ref for shot in shots for ref in shot.needs]),
            get("hold"),
            self.reads(source, node, got, once) if "reads" in got or get("hold") is not None else None,
            self.lasts(source, node, got) if "lasts" in got else None,
            self.cool_to(got["wait"]) if "wait" in got else None,
        )
        self.steps[step_id] = step
        return step

    def reads(self, source: Source, node: MapNode, got: Mapping[str, Any], once: bool) -> Reads | None:
        """The number that the step's reading is, as the step says or its hold."""
        known, sides = self.readable_numbers, self.job.sides
        found = reads_of(source, got["reads"], once, known, sides) if "reads" in got else None
        hold = got.get("hold")
        held = node.items["hold"][1] if hold is not None and hold.reads else None
        if isinstance(held, MapNode):
            return reads_in_hold(source, held.items["reads"][1], found, once, known, sides)
        return found

    def lasts(self, source: Source, node: MapNode, got: Mapping[str, Any]) -> int | None:
        """For how long what the step gives holds; longer than its wait, or it would never be there."""
        found: int | None = got["lasts"]
        if found is not None and found <= (self.wait(source, got["wait"]) if "wait" in got else 0):
            says = (
                "lasts: what it gives would be over before it is there; write a time longer than nothing and its wait"
            )
            source.refuse(node.items["lasts"][1], says)
        return found

    def wait(self, source: Source, node: Node) -> int:
        """The seconds of a wait, stated or taken from numbers.yaml."""
        if isinstance(node, MapNode) or (isinstance(node, ScalarEvent) and "." in node.value):
            from planner.files.build.waits import read_wait  # most waits are stated

            return read_wait(source, node, self.numbers_file, self.job.sides) or 0
        return duration(source, node, "wait") or 0

    def cool_to(self, node: Node) -> CoolTo | None:
        """What a wait cools to, where numbers.yaml says how long that takes."""
        if isinstance(node, MapNode) or (isinstance(node, ScalarEvent) and "." in node.value):
            from planner.files.build.waits import cooling_of

            return cooling_of(node)
        return None

    def check_numbers(
        self, source: Source, node: Node, written: str, known: Mapping[str, bool], key: str = "do"
    ) -> None:
        """Check that the numbers a step names are there to be had."""
        from planner.plan.fill import mistakes

        for says, word, near in mistakes(written, known, self.job.sides, key):
            if near:
                source.unknown(node, says, word, near)
            else:
                source.refuse(node, says)

    def sides(self, source: Source, got: Mapping[str, Any], piece: str | None) -> tuple[bool, tuple[str, ...], bool]:
        """Whether the step is done once, the sides it covers, and whether they were listed."""
        everywhere = self.job.sides if piece is None else self.job.tree.sides(piece)
        node: Node | None = got.get("sides")
        if node is None:
            return False, everywhere, False
        if isinstance(node, SeqNode):
            listed = names(source, node, "sides")
            for item in node.items:
                if isinstance(item, ScalarEvent) and item.value in self.job.sides and item.value not in everywhere:
                    only = ", ".join(everywhere)
                    source.refuse(item, f"sides: {piece} is on {only} only, by its sides: in build.yaml")
                elif isinstance(item, ScalarEvent) and item.value in listed and item.value not in everywhere:
                    source.unknown(item, f"sides: there is no side “{item.value}”", item.value, everywhere)
            covered = tuple([side for side in everywhere if side in listed])
            if not node.items:
                source.refuse(node, "sides: this list is empty; name the sides, or write once or each")
            return False, covered or everywhere, True
        value = scalar(node) if isinstance(node, ScalarEvent) else None
        if value == ONCE:
            return True, everywhere, False
        if value != EACH:
            hint = f"; write [{value}]" if value in everywhere else ""
            source.unknown(
                node,
                f"sides: must be each, once or a list of sides, not {kind_of(node)}{hint}",
                value if isinstance(value, str) else "",
                (EACH, ONCE),
            )
        return False, everywhere, False

    def turns(self, source: Source, node: Node, once: bool, sides: tuple[str, ...]) -> str | tuple[str, ...] | None:
        if isinstance(node, SeqNode):
            listed = names(source, node, "turns")
            if once:
                source.refuse(node, "turns: this step is done once and has no sides to order")
            elif sorted(listed) != sorted(sides):
                source.refuse(node, f"turns: must be each of {', '.join(sides)} once, in the order of work")
            else:
                return listed
            return None
        value = scalar(node) if isinstance(node, ScalarEvent) else None
        if value in (ALTERNATE, SIDE_FIRST):
            return str(value)
        source.unknown(
            node,
            f"turns: must be {ALTERNATE}, {SIDE_FIRST} or a list of sides, not {kind_of(node)}",
            value if isinstance(value, str) else "",
            (ALTERNATE, SIDE_FIRST),
        )
        return None

    def refs(self, source: Source, got: Mapping[str, Any], key: str, once: bool) -> tuple[Ref, ...]:
        node: Node | None = got.get(key)
        if node is None:
            return ()
        found = self.vocabulary.references(source, node, key)
        if once and isinstance(node, SeqNode):
            for item in node.items:
                if isinstance(item, ScalarEvent) and item.value.endswith(f"@{OTHERS}"):
                    source.refuse(item, f"{key}: {item.value} has no meaning in a step done once; name the sides")
        return found

    def without(self, source: Source, got: Mapping[str, Any], piece: str | None) -> tuple[str, ...]:
        kind = self.job.kinds[got["kind"]]
        lists = (kind.needs, kind.gives, kind.spoils, kind.counts_when, kind.used_up)
        own = {ref.name for refs in lists for ref in refs} if piece is not None else set()
        own |= self.vocabulary.waivable(kind)
        out = []
        if not own and piece is None:
            source.refuse(got["without"], "without: this step has no piece, so its kind brings no conditions")
            return ()
        for item in sequence(source, got["without"], "without"):
            written = text(source, item, "without")
            if written is None:
                continue
            word = written
            for each in (piece, self.vocabulary.outermost(piece)) if piece is not None and word not in own else ():
                word = word.removeprefix(f"{each}.")
            if word in own:
                out.append(word)
            else:
                source.unknown(item, f"without: the kind {kind.name} brings no condition {written}", word, own)
        return tuple(out)

    def after(self, source: Source, node: Node, once: bool) -> tuple[After, ...]:
        out = []
        for item in sequence(source, node, "after"):
            written = text(source, item, "after")
            if written is None:
                continue
            step, at, where = written.partition("@")
            if not is_name(step) or (at and where != "own"):
                source.refuse(item, f"after: “{written}” is not a step, or a step with @own")
                continue
            if at and once:
                source.refuse(item, f"after: {written} has no meaning in a step done once; write {step}")
                continue
            link = After(step, bool(at))
            if link not in out:
                out.append(link)
                self.links.append(Link(source, item, link))
        return tuple(out)
