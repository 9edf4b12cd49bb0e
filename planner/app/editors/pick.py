"""Choosing one value out of those there are, or several; typing a letter or more leaves those that have them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.events import Key
from textual.widgets import Static

from planner.app.draw.drawing import content, cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.editors.editor import Editing, Editor
from planner.app.editors.line import Lowered, lowered, matching
from planner.files.plankeys import AFTER, REFS, SIDES
from planner.files.yaml.places import Value
from planner.session.writing.choices import Choice, choices, kind_facts
from planner.session.writing.fields import names_of, value_at
from planner.telling.looks import Line, line


class ChoiceList(LineList, inherit_bindings=False):
    """A list whose Enter is left to the editor; a second click on a line asks for it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        each for each in bindings_of("list") if isinstance(each, Binding) and each.id != "list.choose"
    ]


class Pick(Editor, inherit_bindings=False):
    """A list under a line of what is looked for."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("pick")
    DEFAULT_CSS = """
    Pick #looked { height: 1; }
    """

    def __init__(self, editing: Editing, offers: list[Choice] | None = None) -> None:
        super().__init__(editing)
        self.given = offers
        self.offers: list[Choice] = []
        self.shown: list[Choice] = []
        self.looked = ""
        self.names: frozenset[str] = frozenset()
        self.low: list[Lowered] = []  # what was found last, to be looked through further

    def body(self) -> ComposeResult:
        """What is looked for, and what there is."""
        yield Static(id="looked", markup=False)
        yield ChoiceList(self._line, id="choices")

    def begin(self) -> None:
        """Stand on the present value."""
        super().begin()
        if self.given is None:
            self.offers = choices(self.plan.build, self.editing.target, self.field, self.editing.values)
        else:
            self.offers = self.given
        self.names = frozenset(offer.text for offer in self.offers)
        rows = self.query_one(LineList)
        rows.focus()
        self.look_for("")

    def look_for(self, text: str) -> None:
        """Show what has this in it."""
        self.shown = self.found(text) if text else list(self.offers)
        self.looked = text
        self.list_again()

    def found(self, text: str) -> list[Choice]:
        """What has this in it; of a text that only grew, among what was found before."""
        grew = bool(self.looked) and text.startswith(self.looked)
        if not self.low or not grew:
            self.low = lowered(self.offers)
        self.low = matching(self.low, text)
        return [each.choice for each in self.low]

    def list_again(self) -> None:
        """List what is shown; the cursor stands on the first that is looked for, else where it was."""
        rows = self.query_one(LineList)
        if self.looked:
            rows.cursor = 0
            rows.names = ()
            rows.set_rows(range(len(self.shown)))
        else:
            rows.set_rows([offer.text for offer in self.shown])
        hint = ("type to look for one", "dim") if not self.looked else (self.looked, "strong")
        self.query_one("#looked", Static).update(content([line(("look for ", "head"), hint)], self.app.theme))

    def on_key(self, event: Key) -> None:
        """Letters look for something."""
        if not self.stands:
            return
        if event.is_printable and event.character and event.character != " ":
            event.stop()
            event.prevent_default()
            self.look_for(self.looked + event.character)
            self.try_looked()

    def action_unfilter(self) -> None:
        """Look for a letter less."""
        self.look_for(self.looked[:-1])
        self.try_looked()

    def try_looked(self) -> None:
        """What the first of those looked for would come to."""

    def at_cursor(self) -> Choice | None:
        """The choice under the cursor."""
        at = self.query_one(LineList).cursor
        return self.shown[at] if at < len(self.shown) else None

    def _line(self, index: int, width: int) -> list[Line]:
        return [()]

    def action_mark(self) -> None:
        """Keep it."""
        self.action_keep()

    def action_where(self, by: int) -> None:
        """Nothing."""

    def action_keep(self) -> None:
        """Keep what is chosen."""

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """By mouse; Enter is bound to keeping."""
        event.stop()
        self.asked()

    def asked(self) -> None:
        """A line was asked for."""
        self.action_keep()


class PickOne(Pick, inherit_bindings=False):
    """One of several; what each would come to is shown while the cursor stands on it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("pick")

    def begin(self) -> None:
        """Stand on the present value."""
        super().begin()
        rows = self.query_one(LineList)
        for index, offer in enumerate(self.shown):
            if offer.value == self.editing.old:
                rows.move_to(index)

    def _line(self, index: int, width: int) -> list[Line]:
        if index >= len(self.shown):
            return []
        offer = self.shown[index]
        mark = "[x] " if offer.value == self.editing.old else "[ ] "
        return [line((cut(f" {mark}{offer.text}", min(26, width // 2)), "strong"), " ", (offer.says, "dim"))]

    def advice(self) -> list[Line]:
        """What a kind brings."""
        offer = self.at_cursor()
        if offer is None or self.field.key != "kind":
            return []
        piece = str(value_at(self.editing.values, ("piece",)) or "")
        facts = kind_facts(self.plan.build, str(offer.value), piece)
        return [line((f"{word:<8}", "head"), says) for word, says in facts]

    def draw_strip(self, lines: Iterable[Line]) -> None:
        """What it comes to stands above what a kind brings, which may be long."""
        if not self.stands:
            return
        from planner.app.draw.drawing import fold

        room = max(20, min(self.app.size.width, 120) - 4)
        both = fold([*lines, *self.advice()], room)[: 7 if self.app.size.height < 30 else 12]
        self.query_one("#strip", Static).update(content(both, self.app.theme))

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Try what the cursor is on."""
        event.stop()
        self.try_looked()

    def try_looked(self) -> None:
        """Try what the cursor is on."""
        offer = self.at_cursor()
        if offer is not None:
            self.draw_strip([])
            self.try_value(offer.value)

    def action_keep(self) -> None:
        """Keep the one under the cursor."""
        offer = self.at_cursor()
        if offer is not None:
            self.keep_value(offer.value)


class PickMany(Pick, inherit_bindings=False):
    """Several of many; conditions and steps may be given a side."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("pick")
    KEYS_SAID = (
        ("Space", "choose", "mark"),
        ("←→", "its side", "where(1)"),
        ("Enter", "keep", "keep"),
        ("Esc", "cancel", "leave"),
    )

    def __init__(
        self,
        editing: Editing,
        offers: list[Choice] | None = None,
        *,
        then: Callable[[Value, PickMany], None] | None = None,
    ) -> None:
        super().__init__(editing, offers)
        self.then = then  # instead of keeping what is chosen
        listed = names_of(editing.old) if not isinstance(editing.old, str) or editing.field.sort != SIDES else []
        self.chosen: list[str] = listed
        self.where: dict[str, str] = {}
        for name in listed:
            base, _, where = name.partition("@")
            self.where.setdefault(base, where)

    def look_for(self, text: str) -> None:
        """What is chosen stands first while nothing is looked for; a condition may be new."""
        if text:
            self.shown = self.found(text)
            if self.field.sort == REFS and text not in self.names:
                self.shown.append(Choice(None, f"+ new condition {text}", "declare it in build.yaml"))
        else:
            bases = {name.partition("@")[0] for name in self.chosen}
            known = {offer.text for offer in self.offers}
            lost = [
                Choice(name, name, "not known")
                for name in dict.fromkeys(self.chosen)
                if name.partition("@")[0] not in known
            ]
            first = [each for each in self.offers if each.text in bases]
            self.shown = [*first, *lost, *(each for each in self.offers if each.text not in bases)]
        self.looked = text
        self.list_again()

    def written(self, base: str) -> str:
        """A name with its side."""
        where = self.where.get(base, "")
        return f"{base}@{where}" if where else base

    def is_chosen(self, base: str) -> list[str]:
        """The chosen ones of a name, whatever their side."""
        return [name for name in self.chosen if name == base or name.partition("@")[0] == base]

    def _line(self, index: int, width: int) -> list[Line]:
        if index >= len(self.shown):
            return []
        offer = self.shown[index]
        if offer.value is None:
            return [line((f" {offer.text}", "strong"), "  ", (offer.says, "dim"))]
        mine = self.is_chosen(offer.text)
        mark = "[x]" if mine else "[ ]"
        where = self.where.get(offer.text, "")
        name = ", ".join(mine) if len(mine) > 1 else f"{offer.text}{f'@{where}' if where else ''}"
        look = "done" if mine else "strong"
        return [line((cut(f" {mark} {name}", min(40, width // 2)), look), " ", (offer.says, "dim"))]

    def _sides_for(self, base: str) -> list[str]:
        build = self.plan.build
        if self.field.sort == AFTER:
            return ["", "own"]
        known = build.conditions.get(base)
        if self.field.sort != REFS or known is None or not known.on_side:
            return [""]
        return ["", "all", "others", *build.sides]

    def action_where(self, by: int) -> None:
        """Another side for the one under the cursor."""
        offer = self.at_cursor()
        if offer is None or offer.value is None:
            return
        ways = self._sides_for(offer.text)
        mine = self.is_chosen(offer.text)
        now = self.where.get(offer.text, "")
        self.where[offer.text] = ways[(ways.index(now) + by) % len(ways)] if now in ways else ways[0]
        if len(mine) == 1:
            self.chosen[self.chosen.index(mine[0])] = self.written(offer.text)
            self.try_value(self.value())
        self.query_one(LineList).refresh()

    def action_mark(self) -> None:
        """Choose the one under the cursor, or not."""
        offer = self.at_cursor()
        if offer is None:
            return
        if offer.value is None:
            self.new_condition(self.looked)
            return
        mine = self.is_chosen(offer.text)
        if mine:
            self.chosen = [name for name in self.chosen if name not in mine]
        else:
            self.chosen.append(self.written(offer.text))
        self.query_one(LineList).refresh()
        self.try_value(self.value())

    def value(self) -> Value:
        """What is chosen; sides and words of a kind in their own order."""
        order = [offer.text for offer in self.offers]
        if self.field.sort == SIDES:
            return [name for name in order if name in self.chosen] or None
        return list(self.chosen) or None

    def new_condition(self, name: str) -> None:
        """Declare a condition, and choose it."""
        from planner.app.editors.condition import ask_condition

        def made(condition: str) -> None:
            self.offers = choices(self.plan.build, self.editing.target, self.field, self.editing.values)
            self.names = frozenset(offer.text for offer in self.offers)
            self.low = []
            self.chosen.append(condition)
            self.look_for("")
            self.try_value(self.value())

        ask_condition(self.shell, name, made)

    def action_keep(self) -> None:
        """Keep what is chosen; a new condition is asked about first."""
        offer = self.at_cursor()
        if offer is not None and offer.value is None:
            self.new_condition(self.looked)
        elif self.then is not None:
            self.then(self.value(), self)
        else:
            self.keep_value(self.value())

    def asked(self) -> None:
        """A click chooses."""
        self.action_mark()
