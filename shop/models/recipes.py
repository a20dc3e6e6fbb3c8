"""Which grams of what go in, and what hands do before any finish? Recipe lines and bench tasks as rows."""

from django.db import models
from django.db.models import Q

from shop.core import catalogue as plain
from shop.models.catalogue import (
    DRIVERS,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Named,
    trimmed,
)

# What may have a recipe, as the columns of a line; a line belongs to just one of them.
RECIPE_OF = ("flavour", "filling", "finish", "decoration")


def _one_of_them() -> Q:
    condition = Q()
    for chosen in RECIPE_OF:
        condition |= Q(**{f"{name}__isnull": name != chosen for name in RECIPE_OF})
    return condition


class RecipeLine(models.Model):
    flavour = models.ForeignKey(
        Flavour, on_delete=models.CASCADE, null=True, related_name="recipe_lines"
    )
    filling = models.ForeignKey(
        Filling, on_delete=models.CASCADE, null=True, related_name="recipe_lines"
    )
    finish = models.ForeignKey(
        Finish, on_delete=models.CASCADE, null=True, related_name="recipe_lines"
    )
    decoration = models.ForeignKey(
        Decoration, on_delete=models.CASCADE, null=True, related_name="recipe_lines"
    )
    # By code, so that a line says itself without reading its ingredient.
    ingredient = models.ForeignKey(
        Ingredient, to_field="code", on_delete=models.PROTECT, related_name="used_in"
    )
    grams = models.DecimalField(max_digits=8, decimal_places=1)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ("position", "pk")
        constraints = (
            models.CheckConstraint(condition=_one_of_them(), name="recipe_line_of_one_thing"),
            models.CheckConstraint(condition=Q(grams__gt=0), name="recipe_line_weighs_something"),
            *(
                models.UniqueConstraint(
                    fields=(name, "ingredient"), name=f"ingredient_once_in_a_{name}"
                )
                for name in RECIPE_OF
            ),
        )

    def __str__(self) -> str:
        return f"{self.grams} g {self.ingredient_id}"

    def as_value(self) -> plain.RecipeLine:
        return plain.RecipeLine(self.ingredient_id, trimmed(self.grams))


class BenchTask(Named):
    class AppliesTo(models.TextChoices):
        EATEN = "eaten", "each tier that is cake"
        EVERY = "every", "each tier, display tiers too"
        JOIN = "join", "each tier carried by another"
        ORDER = "order", "each order"
        DELIVERY = "delivery", "each delivery"

    driver = models.CharField(
        max_length=10, choices=[choice for choice in DRIVERS if choice[0] != "piece"]
    )
    minutes_once = models.DecimalField(max_digits=7, decimal_places=2, default=0)
    minutes_each = models.DecimalField(max_digits=7, decimal_places=2, default=0)
    waiting_minutes = models.PositiveIntegerField(default=0)
    applies_to = models.CharField(max_length=10, choices=AppliesTo)
    after = models.CharField(max_length=120, blank=True)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            models.CheckConstraint(
                condition=Q(minutes_once__gte=0, minutes_each__gte=0),
                name="bench_task_minutes_not_below_zero",
            ),
        )

    def as_value(self) -> plain.BenchTask:
        return plain.BenchTask(
            code=self.code,
            name=self.name,
            driver=plain.Driver(self.driver),
            minutes_once=trimmed(self.minutes_once),
            minutes_each=trimmed(self.minutes_each),
            applies_to=self.applies_to,
            waiting_minutes=self.waiting_minutes,
            after=self.after,
        )
