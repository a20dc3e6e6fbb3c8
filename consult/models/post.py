"""Messages to go out: written with the change that causes them, sent afterwards."""

from django.db import models
from django.db.models import Q

from consult.models.consultations import Consultation


class Message(models.Model):
    """One e-mail, as it is sent. Its words are fixed when it is written."""

    class State(models.TextChoices):
        WAITING = "waiting", "waiting"
        SENT = "sent", "sent"
        FAILED = "failed", "not sent"
        HELD = "held", "held back"

    consultation = models.ForeignKey(
        Consultation, on_delete=models.CASCADE, related_name="messages", null=True
    )
    kind = models.CharField(max_length=40)
    once = models.CharField(max_length=120, blank=True)  # at most one message with this key
    to = models.EmailField()
    subject = models.CharField(max_length=200)
    text = models.TextField()
    html = models.TextField(blank=True)
    attached = models.JSONField(default=list)  # [{name, type, sha256}] out of the store
    message_id = models.CharField(max_length=120, unique=True)
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    due_at = models.DateTimeField()
    leased_until = models.DateTimeField(null=True)
    went_by = models.CharField(max_length=20, blank=True)  # "smtp" or "folder"
    trouble = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("-pk",)
        constraints = (
            models.UniqueConstraint(fields=("once",), condition=~Q(once=""), name="a_message_once"),
        )
        indexes = (
            models.Index(
                fields=("due_at",), condition=Q(state="waiting"), name="messages_to_go_out"
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind} to {self.to}"
