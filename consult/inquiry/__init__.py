"""The public inquiry: one page for whoever has no account, its drafts, its guards. What it keeps is in actions."""
