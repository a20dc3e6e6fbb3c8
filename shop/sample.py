"""Who works in the sample shop? Invented people, known passwords: for a shop to play with, never for a real one."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SamplePerson:
    email: str
    name: str
    role: str
    password: str


SAMPLE_PEOPLE = (
    SamplePerson("owner@example.org", "Rosa Abara", "owner", "three-tiers-and-a-board"),
    SamplePerson("counter@example.org", "Ben Tollak", "staff", "fig-jam-on-the-counter"),
)
