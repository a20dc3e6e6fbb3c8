"""A consultation: from a guest count, a date and a wish to a signed design sheet and a deposit request.

Read `flow.py` first (the steps in order), then `urls.py`, then one step (`steps/tiers.py`), then the
arithmetic it asks (`core/stacks.py`), then `actions.py`, where every change is made, then one paper
(`documents/design_sheet.py`). Every other file is a sibling of one of these.
"""
