"""How messages are worded, carried and watched over. What is written, and when, is decided by consult.actions."""
