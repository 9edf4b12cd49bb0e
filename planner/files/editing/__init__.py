"""Edits of a plan in its own words (step, stage, episode, condition): texts in, texts out.

May not touch the disk or a screen, so that an edit can be shown, judged and taken back before it is saved.
"""
