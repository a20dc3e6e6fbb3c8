"""How the pages write what the trade counts in."""
