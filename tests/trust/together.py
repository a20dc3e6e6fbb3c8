"""Several tablets at once: threads that start together, each with a connection of its own to the real database."""

import threading
import time
from collections.abc import Callable, Sequence
from typing import Any

from django.db import connections

LONGEST_WAIT = 120  # seconds; a race that hangs is an error and not a wait for ever


def together(acts: Sequence[Callable[[], Any]]) -> list[Any]:
    """Start all at the same instant; what each gave, or the exception it ended with, in their order."""
    start, outcomes = threading.Barrier(len(acts)), [None] * len(acts)

    def run(place: int) -> None:
        try:
            start.wait(LONGEST_WAIT)
            outcomes[place] = acts[place]()
        except Exception as error:
            outcomes[place] = error
        finally:
            connections.close_all()

    threads = [
        threading.Thread(target=run, args=[place], daemon=True) for place in range(len(acts))
    ]
    for thread in threads:
        thread.start()
    until = time.monotonic() + LONGEST_WAIT
    for thread in threads:
        thread.join(max(0, until - time.monotonic()))
    assert not any(thread.is_alive() for thread in threads), "a race that never ended"
    return outcomes
