"""The kinds of work: those that come with the tool, and a build's changes to them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from yaml.events import ScalarEvent

from planner.files.build.fields import (
    Source,
    check_format,
    choice,
    duration,
    mapping,
    read_keys,
    sequence,
    switch,
    text,
    texts,
)
from planner.files.yaml.tree import MapNode, Node, Problems, decode, parse, scalar
from planner.plan.model import ALL, OTHERS, OWN, Kind, Ref, Word
from planner.plan.words import is_name

KINDS_FILE = Path(__file__).parents[2] / "kinds" / "kinds.yaml"


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


_WORD_KEYS = {"on": choice("side", "job"), "means": text, "start": switch, "whole": switch}


def _words(source: Source, node: Node, key: str) -> tuple[Word, ...]:
    out = []
    for name, (event, value) in mapping(source, node, key).items():
        if not is_name(name):
            source.refuse(event, f"“{name}” is not a word; use lower-case letters, digits and hyphens")
            continue
        got = read_keys(source, value, f"word {name}", _WORD_KEYS, ("on", "means"))
        out.append(
            Word(name, got.get("on") != "job", got.get("means") or "", got.get("start", False), got.get("whole", False))
        )
    return tuple(out)


_KIND_KEYS = {
    "means": text,
    "needs": _word_refs,
    "gives": _word_refs,
    "spoils": _word_refs,
    "one-way": switch,
    "looks-back": switch,
    "time": duration,
    "cautions": texts,
    "words": _words,
}


def read_kinds(source: Source, node: Node, base: Mapping[str, Kind] | None = None) -> dict[str, Kind]:
    """Kinds from a mapping, on top of those already known: changed key by key, added, or dropped with null."""
    known = dict(base or {})
    entries = mapping(source, node, "kinds")
    changed: list[tuple[str, MapNode]] = []
    for name, (event, value) in entries.items():
        if not is_name(name):
            source.refuse(event, f"“{name}” is not a name; use lower-case letters, digits and hyphens")
        elif not isinstance(value, MapNode):
            if isinstance(value, ScalarEvent) and scalar(value) is None:
                if name not in known:
                    source.unknown(event, f"there is no kind {name} to drop", name, known)
                known.pop(name, None)
            else:
                source.refuse(value, f"kind {name}: wants keys and values, or null to drop it")
        else:
            old = known.get(name)
            got: dict[str, Any] = read_keys(
                source, value, f"kind {name}", _KIND_KEYS, () if old is not None else ("means",)
            )
            known[name] = _merge(name, old, got)
            changed.append((name, value))
    words = {**words_of(base or {}), **words_of(known)}
    for name, value in changed:
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


def _without_unknown(kind: Kind, words: Mapping[str, Word]) -> Kind:
    """The kind without words that nobody declares; they are told, and the rest of the build is still read."""
    needs, gives, spoils = (
        tuple(ref for ref in refs if ref.name in words) for refs in (kind.needs, kind.gives, kind.spoils)
    )
    return kind._replace(needs=needs, gives=gives, spoils=spoils)


def words_of(kinds: Mapping[str, Kind]) -> dict[str, Word]:
    """Every word that some kind declares."""
    return {word.name: word for kind in kinds.values() for word in kind.words}


def _check(source: Source, node: MapNode, kind: Kind, words: Mapping[str, Word]) -> None:
    for key in ("needs", "gives", "spoils"):
        for ref in getattr(kind, key):
            word = words.get(ref.name)
            at = node.items[key][1] if key in node.items else node
            if word is None:
                source.unknown(at, f"kind {kind.name}: no kind declares the word {ref.name}", ref.name, words)
            elif not word.on_side and ref.where != OWN:
                source.refuse(at, f"kind {kind.name}: {ref.name} is on the job; write it without @")
    both = sorted({ref.name for ref in kind.needs} & {ref.name for ref in kind.spoils})
    for word_name in both:
        source.refuse(node, f"kind {kind.name}: spoils {word_name}, which it needs itself; take it out of one")


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
