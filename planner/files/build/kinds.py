"""The kinds of work: those that come with the tool, and a build's changes to them."""

from __future__ import annotations

from collections.abc import Mapping, MutableSequence
from typing import Any, NamedTuple

from yaml.events import ScalarEvent

from planner.files.build.fields import (
    Source,
    check_format,
    choice,
    duration,
    kept,
    mapping,
    read_keys,
    sequence,
    switch,
    text,
    texts,
    whole,
)
from planner.files.layout import KINDS_FILE
from planner.files.yaml.tree import MapNode, Node, Problems, decode, parse, scalar
from planner.plan.model import ALL, OTHERS, OWN, Kind, LeastRounds, Ref, Word
from planner.plan.words import is_name


class Outright(NamedTuple):
    """A condition that a build's kind names outright; looked up once conditions are known."""

    kind: str
    key: str  # needs, gives or spoils
    node: Node


class _Named(NamedTuple):
    """What stands in a list of a kind: words, and all else."""

    words: tuple[Ref, ...]
    others: tuple[Node, ...]


def _named(source: Source, node: Node, key: str) -> _Named:
    words: list[Ref] = []
    others: list[Node] = []
    for item in sequence(source, node, key):
        value = text(source, item, key)
        if value is None:
            continue
        word, at, where = value.partition("@")
        if is_name(word) and not (at and where not in (ALL, OTHERS)):
            words.append(Ref(word, where or OWN))
            others.append(item)  # told apart once all words are known
        elif "." in word:
            others.append(item)
        else:
            source.refuse(item, f"{key}: “{value}” is not a word, word@all, word@others or a condition")
    return _Named(tuple(words), tuple(others))


def _least_rounds(source: Source, node: Node, key: str) -> LeastRounds | None:
    if isinstance(node, MapNode):
        got = read_keys(source, node, key, {"rounds": whole(1, 99), "with": text}, ("rounds",))
        return LeastRounds(got["rounds"], got.get("with")) if got.get("rounds") else None
    rounds = whole(1, 99)(source, node, key)
    return None if rounds is None else LeastRounds(rounds, None)


def _word_refs(source: Source, node: Node, key: str) -> tuple[Ref, ...]:
    refs: list[Ref] = []
    for item in sequence(source, node, key):
        value = text(source, item, key)
        if value is None:
            continue
        word, at, where = value.partition("@")
        if not is_name(word) or (at and where not in (ALL, OTHERS)):
            source.refuse(item, f"{key}: “{value}” is not a word, word@all or word@others")
        else:
            refs.append(Ref(word, where or OWN))
    return tuple(refs)


_WORD_KEYS = {
    "kept": choice("side", "job"),
    "on": choice("side", "job"),
    "means": text,
    "start": switch,
    "whole": switch,
    "alone": switch,
    "over-sides": switch,
    "owed": choice("build", "episode", "shift"),
    "where-given": switch,
    "regained": switch,
}


def _words(source: Source, node: Node, key: str) -> tuple[Word, ...]:
    out = []
    for name, (event, value) in mapping(source, node, key).items():
        if not is_name(name):
            source.refuse(event, f"“{name}” is not a word; use lower-case letters, digits and hyphens")
            continue
        got = read_keys(source, value, f"word {name}", _WORD_KEYS, ("means",))
        given = got.get("where-given", False)
        if given and (got.get("whole") or got.get("owed")):
            source.refuse(value, f"word {name}: where-given goes with neither whole nor owed; take one out")
        out.append(
            Word(
                name,
                kept(source, value, f"word {name}", got) != "job",
                got.get("means") or "",
                got.get("start", False),
                got.get("whole", False),
                got.get("alone", False),
                got.get("over-sides", False),
                got.get("owed"),
                given,
                got.get("regained", False),
            )
        )
    return tuple(out)


_ALSO = {"also-needs": "needs", "also-gives": "gives", "also-spoils": "spoils"}

_KIND_KEYS: dict[str, Any] = {
    "means": text,
    "needs": _word_refs,
    "gives": _word_refs,
    "spoils": _word_refs,
    **dict.fromkeys(_ALSO, _named),
    "counts-when": _word_refs,
    "used-up": _word_refs,
    "least-rounds": _least_rounds,
    "full-time": switch,
    "one-go": switch,
    "one-way": switch,
    "looks-back": switch,
    "time": duration,
    "cautions": texts,
    "words": _words,
}


def read_kinds(
    source: Source,
    node: Node,
    base: Mapping[str, Kind] | None = None,
    outright: MutableSequence[Outright] | None = None,
) -> dict[str, Kind]:
    """Kinds from a mapping, on top of those already known: changed key by key, added, widened, or dropped with null.

    Conditions that they name outright are put into ``outright``; without it there are none to name.
    """
    known = dict(base or {})
    entries = mapping(source, node, "kinds")
    changed: list[tuple[str, MapNode]] = []
    widened: list[tuple[str, str, _Named]] = []
    for name, (event, value) in entries.items():
        if not is_name(name):
            source.refuse(event, f"“{name}” is not a name; use lower-case letters, digits and hyphens")
        elif not isinstance(value, MapNode):
            if isinstance(value, ScalarEvent) and scalar(value) is None:
                if name not in known:
                    source.unknown(event, f"there is no kind {name} to drop", name, known)
                known.pop(name, None)
            else:
                source.refuse(value, f"kind {name}: must be keys and values, or null to drop it")
        else:
            old = known.get(name)
            got: dict[str, Any] = read_keys(
                source, value, f"kind {name}", _KIND_KEYS, () if old is not None else ("means",)
            )
            widened += [(name, key, named) for also, key in _ALSO.items() if (named := got.pop(also, None))]
            known[name] = _merge(name, old, got)
            changed.append((name, value))
    words = {**words_of(base or {}), **words_of(known)}
    for name, key, named in widened:
        refs = tuple([ref for ref in named.words if ref.name in words and ref not in getattr(known[name], key)])
        known[name] = _with(known[name], {key: (*getattr(known[name], key), *refs)})
        for item in named.others:
            if isinstance(item, ScalarEvent) and item.value.partition("@")[0] not in words:
                if outright is None:
                    source.refuse(item, f"also-{key}: no kind declares the word {item.value}")
                else:
                    outright.append(Outright(name, key, item))
    for name, value in changed:
        least = known[name].least_rounds
        if least is not None and least.beside is not None and least.beside not in known:
            source.unknown(value, f"kind {name}: least-rounds: there is no kind {least.beside}", least.beside, known)
        _check(source, value, known[name], words)
        known[name] = _without_unknown(known[name], words)
    return known


def _merge(name: str, old: Kind | None, got: Mapping[str, Any]) -> Kind:
    if old is None:
        old = Kind(name, "", (), (), (), False, None, (), ())
    fresh = {key.replace("-", "_"): value for key, value in got.items() if value is not None}
    if "words" in fresh:
        fresh["words"] = tuple({word.name: word for word in (*old.words, *fresh["words"])}.values())
    return old._replace(**fresh)


_WORD_LISTS = ("needs", "gives", "spoils", "counts_when", "used_up")


def _without_unknown(kind: Kind, words: Mapping[str, Word]) -> Kind:
    """The kind without words that nobody declares; they are told, and the rest of the build is still read."""
    return _with(kind, {key: tuple([ref for ref in getattr(kind, key) if ref.name in words]) for key in _WORD_LISTS})


def _with(kind: Kind, fields: Mapping[str, Any]) -> Kind:
    return kind._replace(**fields)


def words_of(kinds: Mapping[str, Kind]) -> dict[str, Word]:
    """Every word that some kind declares."""
    return {word.name: word for kind in kinds.values() for word in kind.words}


def _check(source: Source, node: MapNode, kind: Kind, words: Mapping[str, Word]) -> None:
    for key in _WORD_LISTS:
        for ref in getattr(kind, key):
            word = words.get(ref.name)
            written = key.replace("_", "-")
            at = node.items[written][1] if written in node.items else node
            if word is None:
                source.unknown(at, f"kind {kind.name}: no kind declares the word {ref.name}", ref.name, words)
            elif not word.on_side and ref.where != OWN:
                source.refuse(at, f"kind {kind.name}: {ref.name} is on the job; write it without @")
    both = sorted({ref.name for ref in kind.needs} & {ref.name for ref in kind.spoils})
    for word_name in both:
        also = [f"also-{key}" for key in ("spoils", "needs") if f"also-{key}" in node.items]
        at = node.items[also[0]][1] if also else node
        source.refuse(at, f"kind {kind.name}: spoils {word_name}, which it needs itself; take it out of one")


def shipped_kinds() -> dict[str, Kind]:
    """The kinds that come with the tool."""
    problems = Problems()
    path = str(KINDS_FILE)
    body = decode(KINDS_FILE.read_bytes(), path, problems)
    tree = parse(body, path, problems) if body is not None else None
    kinds: dict[str, Kind] = {}
    if tree is not None:
        source = Source(path, problems)
        got = read_keys(
            source,
            tree,
            "the file of kinds",
            {"format": check_format, "kinds": lambda s, n, _: read_kinds(s, n)},
            ("format", "kinds"),
        )
        kinds = got.get("kinds") or {}
    if problems.found:  # a broken installation, not a person's mistake
        raise RuntimeError("; ".join(str(problem) for problem in problems.found[:3]))
    return kinds
