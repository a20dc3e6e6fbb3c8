"""What the shop decides once: its people, pans, catalogue, prices, policies, terms and open hours.

`shop.core` says all of it as plain values, `shop.models` keeps it as rows, `shop.pages` lets the owner
change it. Nothing here knows about consultations.
"""
