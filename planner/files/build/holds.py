"""What a step holds for: a reading within its limits, as the plan writes them."""

from __future__ import annotations

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, read_keys, text
from planner.files.yaml.tree import MapNode, Node, scalar
from planner.plan.model import Hold

_HELP = "write it as {limit: 0.010 in}, or with least: and most:, each with its unit"
#: In this order, so that a plain number is a number and no percentage.
_KINDS = (
    "length", "temperature", "angle", "torque", "force", "stress", "time", "speed", "area", "heat", "volts", "amps",
    "travel", "wind", "number",
)  # fmt: skip


def read_hold(source: Source, node: Node) -> Hold | None:
    """A hold with its limits in the base unit of their kind; None with what is wrong told."""
    if not isinstance(node, MapNode):
        source.refuse(node, f"hold: must have its limits as keys and values; {_HELP}")
        return None
    keys = dict.fromkeys(("limit", "least", "most", "plus-minus"), _written)
    got = read_keys(source, node, "the hold", {**keys, "reads": text})
    limits = {key: got[key] for key in ("limit", "least", "most") if got.get(key)}
    if not limits:
        source.refuse(node, f"hold: has no limit; {_HELP}")
        return None
    if "limit" in limits and len(limits) > 1:
        source.refuse(node, "hold: limit bounds it on both sides of nothing; give it alone, or least and most")
        return None
    kind = _kind_of(next(iter(limits.values())))
    if kind is None:
        source.refuse(node, f"hold: “{next(iter(limits.values()))}” cannot be read; {_HELP}")
        return None
    values: dict[str, float] = {}
    for key in (*limits, *(("plus-minus",) if got.get("plus-minus") else ())):
        found = _value(kind, got[key])
        if found is None:
            source.refuse(
                node.items[key][1], f"hold: {key}: “{got[key]}” is not a {kind}, as the other limit is; {_HELP}"
            )
            return None
        values[key] = found
    least, most = values.get("least"), values.get("most")
    if "limit" in values:
        least, most = -values["limit"], values["limit"]
    if least is not None and most is not None and least >= most:
        source.refuse(node, "hold: nothing lies within these limits; least is to be below most, and limit above 0")
        return None
    doubt = values.get("plus-minus")
    if kind == "temperature" and doubt is not None:
        doubt -= _value(kind, f"0 {got['plus-minus'].split()[-1]}") or 0.0
    if doubt is not None and doubt < 0:
        source.refuse(node.items["plus-minus"][1], "hold: plus-minus is what the instrument may be off, so above 0")
        return None
    says = ", ".join(f"at {key} {limits[key]}" for key in ("least", "most") if key in limits)
    return Hold(kind, least, most, doubt, got.get("reads"), says or f"limit {limits['limit']}")


def _written(source: Source, node: Node, key: str) -> str | None:
    value = scalar(node) if isinstance(node, ScalarEvent) else None
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return str(node.value) if isinstance(node, ScalarEvent) else None
    return text(source, node, key)


def _kind_of(written: str) -> str | None:
    return next((kind for kind in _KINDS if _value(kind, written) is not None), None)


def _value(kind: str, written: str) -> float | None:
    from planner.numbers.lengths import TextError
    from planner.numbers.units import parse_value

    try:
        return float(parse_value(kind, written).number)
    except TextError:
        return None


__all__ = ["read_hold"]
