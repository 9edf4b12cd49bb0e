"""One trade subject a module: its declaration, and the function that works it out.

Knows a ``Given`` and a ``Sheet``. Calculators do not call one another: what one takes from another is declared
(``taken="fit.pads"``) and fetched by ``together``, so that every number has one place where it comes from. Each names
its formula and its source, and says what is common practice or from memory.
"""
