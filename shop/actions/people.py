"""Take somebody on, change what they may see, let them go, give them a new password."""

from django.db import transaction

from shop.actions.refusal import Refused
from shop.models import Person
from shop.models.person import Role


@transaction.atomic
def take_on(email: str, *, name: str, role: str, password: str) -> Person:
    """Somebody new who can log in at once."""
    if Person.objects.filter(email=Person.objects.written(email)).exists():
        raise Refused("Somebody with this e-mail address is on the list already.")
    return Person.objects.take_on(email, name=name, role=role, password=password)


def _keep_an_owner(person: Person) -> None:
    """A shop that nobody owns could never be changed again."""
    owners = Person.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=person.pk)
    if person.is_owner and person.is_active and not owners.exists():
        raise Refused("The shop needs at least one owner who works here.")


@transaction.atomic
def change_person(person: Person, *, name: str, role: str) -> Person:
    """Another name or role. Refused where no owner would be left."""
    if role != Role.OWNER:
        _keep_an_owner(person)
    person.name, person.role = name, role
    person.save(update_fields=["name", "role"])
    return person


@transaction.atomic
def let_go(person: Person) -> None:
    """They cannot log in any more; their name stays on what they did."""
    _keep_an_owner(person)
    person.is_active = False
    person.save(update_fields=["is_active"])


@transaction.atomic
def take_back(person: Person) -> None:
    """They work here again, with the password they had."""
    person.is_active = True
    person.save(update_fields=["is_active"])


@transaction.atomic
def give_new_password(person: Person, *, password: str) -> None:
    """Whoever forgot theirs gets a new one from the owner. Ends their other log-ins."""
    person.set_password(password)
    person.save(update_fields=["password"])
