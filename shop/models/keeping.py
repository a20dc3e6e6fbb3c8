"""How does a filling or a coat keep? What was measured of it, as columns."""

from decimal import Decimal

from django.db import models
from django.db.models import Q


class Measured(models.Model):
    """Water activity and pH, as a laboratory or a meter gave them; both empty where nobody measured."""

    water_activity = models.DecimalField(max_digits=4, decimal_places=3, null=True, blank=True)
    ph = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)

    class Meta:
        abstract = True
        constraints = (
            models.CheckConstraint(
                condition=Q(water_activity__isnull=True)
                | Q(water_activity__gte=0, water_activity__lte=1),
                name="%(class)s_water_activity_0_to_1",
            ),
            models.CheckConstraint(
                condition=Q(ph__isnull=True) | Q(ph__gte=0, ph__lte=14),
                name="%(class)s_ph_0_to_14",
            ),
        )

    def measured(self) -> dict[str, Decimal | None]:
        """Both as the plain value takes them."""
        found = {"water_activity": self.water_activity, "ph": self.ph}
        return {name: None if v is None else v.normalize() for name, v in found.items()}
