"""What all screens share: page, build page, the one question, help, the line of keys; and Host.

Knows no screen by name: whoever needs one asks Host. A page of a build has a whole build or none.
"""
