"""The commands there are, and the names kept for them. Nothing is imported here: ``--help`` pays for it."""

#: Every command there is, and what it does.
COMMANDS: dict[str, str] = {
    "new": "make a build from a starter",
    "check": "find every trap, gap and notice, with repairs",
    "steps": "list the operations with their state",
    "tick": "record that an operation was done, undone or done again",
    "log": "show what was ticked, when and where",
    "numbers": "work out every number of a build",
    "figure": "work out one calculator from inputs given here",
    "kinds": "list the kinds of work, with what each needs, gives and spoils",
    "order": "find the best good order of what remains, or why there is none",
    "recover": "find the shortest way back from what was really ticked, with rework put in",
    "now": "say what to do now, and why; what does not fit, and why",
    "links": "show which operations may not change places, and why",
    "calendar": "book what remains into the hours, with publish dates met or missed",
    "story": "show what the series promised, kept, corrects, filmed and has still to say",
    "edit": "write markers and chapters of a filmed episode for the edit",
    "paper": "write papers for the shop: job sheets, cards, tables, as PDF, HTML or text",
    "where": "show which folders and files are used",
}
#: Names that the command line takes, or will take, for a command: no build is called so.
RESERVED_BUILDS = frozenset({*COMMANDS, "help"})
