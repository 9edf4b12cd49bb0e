"""What is said of a step, a finding, a repair, an edit, a number: pieces with a look.

No width, no colour and no toolkit, since the app, the command line and the papers all say it.
"""
