"""What works at once in this kitchen, and how does the shop support its tiers? Columns of the shop's one row."""

from datetime import time

from django.db import models

from shop.core import policies as plain
from shop.models.catalogue import trimmed


def _length(default: str) -> models.DecimalField:
    return models.DecimalField(max_digits=8, decimal_places=3, default=default)


class KitchenColumns(models.Model):
    """Lengths in millimetres. The defaults are those of the plain values and named there."""

    rod = models.CharField(
        max_length=8,
        choices=[
            (plain.Rod.WOOD.value, "wooden dowels"),
            (plain.Rod.STRAW.value, "plastic tubes made for cakes"),
        ],
        default=plain.Rod.WOOD.value,
    )
    rod_mm = _length("6.35")
    wall_mm = _length("0.5")
    safety = models.DecimalField(max_digits=4, decimal_places=1, default=4)
    uneven = models.DecimalField(max_digits=3, decimal_places=1, default="1.5")
    in_from_edge_mm = _length("38.1")
    drum_mm = _length("12")
    under_board_mm = _length("3")
    tiers_stacked_to_travel = models.PositiveSmallIntegerField(default=3)
    door_mm = _length("760")
    box_room_mm = _length("12.7")

    hands = models.PositiveSmallIntegerField(default=1)
    oven_wide_mm = _length("600")
    oven_deep_mm = _length("400")
    oven_shelves = models.PositiveSmallIntegerField(default=2)
    oven_loads = models.PositiveSmallIntegerField(default=1)
    fridge_places = models.PositiveSmallIntegerField(default=4)
    opens = models.TimeField(default=time(8))
    batter_loss = models.DecimalField(max_digits=4, decimal_places=3, default="0.05")
    rounds = models.CharField(
        max_length=10,
        choices=[
            (plain.Rounds.WHICHEVER.value, "whichever gives more"),
            (plain.Rounds.RINGS.value, "in rings"),
            (plain.Rounds.ROWS.value, "in rows"),
        ],
        default=plain.Rounds.WHICHEVER.value,
    )
    least_margin = models.DecimalField(max_digits=4, decimal_places=3, default=0)

    class Meta:
        abstract = True

    def supports(self) -> plain.SupportHabits:
        return plain.SupportHabits(
            rod=plain.Rod(self.rod),
            rod_mm=float(self.rod_mm),
            wall_mm=float(self.wall_mm),
            safety=float(self.safety),
            uneven=float(self.uneven),
            in_from_edge_mm=float(self.in_from_edge_mm),
            drum_mm=float(self.drum_mm),
            board_mm=float(self.under_board_mm),
            tiers_stacked_to_travel=self.tiers_stacked_to_travel,
            door_mm=float(self.door_mm),
            box_room_mm=float(self.box_room_mm),
        )

    def kitchen(self) -> plain.Kitchen:
        return plain.Kitchen(
            hands=self.hands,
            oven_wide_mm=float(self.oven_wide_mm),
            oven_deep_mm=float(self.oven_deep_mm),
            oven_shelves=self.oven_shelves,
            oven_loads=self.oven_loads,
            fridge_places=self.fridge_places,
            opens=f"{self.opens:%H:%M}",
            batter_loss=trimmed(self.batter_loss),
        )
