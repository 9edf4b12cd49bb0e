"""PyYAML's own parser behind the interface of its C parser, for installations without libyaml."""

from __future__ import annotations

from yaml.parser import Parser
from yaml.reader import Reader
from yaml.scanner import Scanner


class PythonParser(Reader, Scanner, Parser):
    """Events from a text, in pure Python."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        Parser.__init__(self)
