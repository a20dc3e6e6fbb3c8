"""Every change to a consultation, a verb each, and the only place that saves.

`keeping.py` says how a change is kept (revision, record, replay); the others are the changes by noun.
Rules do not go here: an action asks `consult.core` and keeps the answer.
"""
