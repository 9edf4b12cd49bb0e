"""The calculators: pure functions, SI inside, one module a subject.

Knows quantities, units, and what a calculator is. May not touch the plan, files, the clock or a screen: a number is
worth something only if it can be worked out again by hand, from what was typed and nothing else. The declaration of a
calculator is the only list of its inputs and outputs: help, forms and the table of keys are made from it. ``running``
stands above ``inputs``, which stands above ``calculator``; nothing points back.
"""
