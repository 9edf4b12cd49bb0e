"""Bytes on a disk: plain files, folders, locks, saving all or nothing, and what files look like from outside.

Knows neither YAML nor plans: whoever saves says which bytes were read and which shall be, and a file that is not as it
was read is never written over.
"""
