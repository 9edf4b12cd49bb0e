"""The keys with which an episode speaks of others and to viewers, and the pictures of a step."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planner.files.build.fields import (
    Reader,
    Source,
    choice,
    duration,
    kind_of,
    read_keys,
    sequence,
    switch,
    text,
    whole,
)
from planner.files.yaml.tree import MapNode, Node, SeqNode, scalar
from planner.plan.model import Correction, Promise, Ref, Referral, Series, Shot, Sponsor

if TYPE_CHECKING:
    from planner.files.build.references import Vocabulary

MOST_SPEED = 100_000  # a night in a second is enough
_EPISODE = whole(1, 9999)
_DAY_ENDS = "23:59"
_SINGLE = ("promises", "keeps")  # one of them may stand without a list


def series_of(source: Source, got: Mapping[str, Any], zone: str | None) -> Series:
    """What an episode promises, keeps, refers to, corrects and owes to sponsors; ``zone`` is the shop's."""

    def each(key: str, one: Callable[[Node], Any]) -> tuple[Any, ...]:
        node: Node | None = got.get(key)
        if node is None:
            return ()
        found = [one(item) for item in (_items(node) if key in _SINGLE else sequence(source, node, key))]
        return tuple([item for item in found if item is not None])

    return Series(
        each("promises", lambda node: _promise(source, node, zone)),
        each("keeps", lambda node: _kept(source, node)),
        each("refers-to", lambda node: _referral(source, node)),
        each("corrects", lambda node: _correction(source, node)),
        each("sponsors", lambda node: _sponsor(source, node)),
    )


def _items(node: Node) -> Sequence[Node]:
    return node.items if isinstance(node, SeqNode) else [node]


def _promise(source: Source, node: Node, zone: str | None) -> Promise | None:
    if not isinstance(node, MapNode):
        says = text(source, node, "promises")
        return None if says is None else Promise(says, source.place(node))
    got = read_keys(source, node, "an item of promises", {"says": text, "by": _keep}, ("says",))
    if not got.get("says"):
        return None
    promise = Promise(got["says"], source.place(node))
    by: Node | None = got.get("by")
    value = None if by is None else scalar(by) if not isinstance(by, (MapNode, SeqNode)) else by
    if by is None:
        return promise
    if isinstance(value, int) and not isinstance(value, bool):
        number = _EPISODE(source, by, "by")
        return promise._replace(episode=number)
    if not isinstance(value, str):
        source.refuse(by, f"by: must be an episode's number or a date such as 2027-02-13, not {kind_of(by)}")
        return None
    instant = _instant(source, by, "by", value if len(value) > 10 else f"{value} {_DAY_ENDS}", zone)
    if isinstance(instant, str):
        source.refuse(by, f"by: “{value}” is neither an episode's number nor a date such as 2027-02-13")
    return promise._replace(day=(value, instant)) if isinstance(instant, float) else None


def _instant(source: Source, node: Node, key: str, written: str, zone: str | None) -> float | str | None:
    """UTC seconds of a local time, or what is wrong with it; None where there is no zone, which is told."""
    if zone is None:
        source.refuse(node, f"{key}: a date needs shop: timezone: in build.yaml, such as Europe/Lisbon")
        return None
    from planner.files.times.zones import local_to_utc

    return local_to_utc(written, zone)


def publish_of(source: Source, node: Node, zone: str | None) -> tuple[str, float] | None:
    """When an episode goes out: as written, and in UTC seconds."""
    written = text(source, node, "publish")
    instant = None if written is None else _instant(source, node, "publish", written, zone)
    if isinstance(instant, str):
        source.refuse(node, f"publish: {instant}")
    return (written, instant) if written is not None and isinstance(instant, float) else None


def _kept(source: Source, node: Node) -> Promise | None:
    says = text(source, node, "keeps")
    return None if says is None else Promise(says, source.place(node))


def _referral(source: Source, node: Node) -> Referral | None:
    place = source.place(node)
    if isinstance(node, MapNode):
        readers: Mapping[str, Reader] = {"episode": _EPISODE, "build": text, "says": text}
        got = read_keys(source, node, "an item of refers-to", readers)
        if got.get("episode") is None and got.get("build") is None:
            source.refuse(node, "refers-to: must be an episode's number, or a build, or both")
            return None
        return Referral(place, got.get("episode"), got.get("build"), got.get("says"))
    value = scalar(node) if not isinstance(node, SeqNode) else None
    if isinstance(value, int) and not isinstance(value, bool):
        return Referral(place, episode=_EPISODE(source, node, "refers-to"))
    says = text(source, node, "refers-to")
    return None if says is None else Referral(place, says=says)


def _correction(source: Source, node: Node) -> Correction | None:
    if not isinstance(node, MapNode):
        source.refuse(node, "corrects: must be {episode: 2, says: what is not so and what is}, not " + kind_of(node))
        return None
    readers: Mapping[str, Reader] = {"episode": _EPISODE, "says": text, "safety": switch}
    got = read_keys(source, node, "an item of corrects", readers, ("episode", "says"))
    if got.get("episode") is None or not got.get("says"):
        return None
    return Correction(got["episode"], got["says"], got.get("safety", False), source.place(node))


def _sponsor(source: Source, node: Node) -> Sponsor | None:
    if not isinstance(node, MapNode):
        source.refuse(
            node, "sponsors: must be {who: a name, says: the words, from: what was given}, not " + kind_of(node)
        )
        return None
    got = read_keys(source, node, "an item of sponsors", {"who": text, "says": text, "from": text}, ("who",))
    if not got.get("who"):
        return None
    return Sponsor(got["who"], got.get("says"), got.get("from"), source.place(node))


def shots_of(source: Source, node: Node, vocabulary: Vocabulary) -> tuple[Shot, ...]:
    """The pictures of a step: texts, or mappings that say more."""

    def needs(source: Source, node: Node, key: str) -> tuple[Ref, ...]:
        return vocabulary.references(source, node, f"shots {key}")

    readers: Mapping[str, Reader] = {
        "shot": text,
        "size": choice("wide", "medium", "close", "detail"),
        "of": text,
        "length": duration,
        "speed": _speed,
        "needs": needs,
    }
    found = []
    for item in _items(node):
        if not isinstance(item, MapNode):
            says = text(source, item, "shots")
            found += [Shot(says)] if says is not None else []
            continue
        got = read_keys(source, item, "an item of shots", readers, ("shot",))
        if got.get("shot"):
            found.append(
                Shot(
                    got["shot"],
                    got.get("size"),
                    got.get("of"),
                    got.get("length"),
                    got.get("speed") or 1.0,
                    got.get("needs", ()),
                )
            )
    return tuple(found)


def _speed(source: Source, node: Node, key: str) -> float | None:
    value = scalar(node) if not isinstance(node, (MapNode, SeqNode)) else None
    if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value <= MOST_SPEED:
        return float(value)
    source.refuse(node, f"{key}: must be a number above 0, such as 8 for eight times as fast, not {kind_of(node)}")
    return None


def _keep(_: Source, node: Node, __: str) -> Node:
    return node


def referred(referral: Referral) -> str:
    """A reference as it is written in short."""
    if referral.build is not None:
        return f"{referral.build} {referral.episode or ''}".rstrip()
    return str(referral.episode) if referral.episode is not None else referral.says or ""
