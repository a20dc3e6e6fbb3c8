"""What does the shop own, buy, bake and put on? Each a row that can say itself as its plain value."""

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from shop.core import catalogue as plain
from shop.core.measures import Units, to_mm
from shop.core.money import Money
from shop.models.keeping import Measured

UNITS = [(units.value, units.word) for units in Units]
SHAPES = [(shape.value, shape.value) for shape in plain.Shape]
DRIVERS = [(driver.value, driver.unit) for driver in plain.Driver]


def trimmed(value: Decimal) -> Decimal:
    """The same figure without trailing zeros (8, 20.5): columns give back all their places."""
    whole = value.to_integral_value()
    return whole if whole == value else value.normalize()


class Offered(models.Model):
    """A row that is taken off the list, never deleted: old consultations still name it."""

    is_offered = models.BooleanField(default=True)
    position = models.PositiveIntegerField(default=0)

    class Meta:
        abstract = True


class Named(Offered):
    """`code` is made from the first name and never changed, so that a design can point at it for good."""

    code = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=80)

    class Meta:
        abstract = True
        ordering = ("position", "name")

    def __str__(self) -> str:
        return self.name


class Rated(models.Model):
    """The columns of a Rate: what one use takes once, and for each unit of its driver. Prices in minor units."""

    driver = models.CharField(max_length=10, choices=DRIVERS)
    minutes_once = models.DecimalField(max_digits=7, decimal_places=2, default=0)
    minutes_each = models.DecimalField(max_digits=7, decimal_places=2, default=0)
    waiting_minutes = models.PositiveIntegerField(default=0)
    price_once = models.BigIntegerField(default=0)
    price_each = models.BigIntegerField(default=0)
    cost_each = models.BigIntegerField(default=0)
    lead_days = models.PositiveSmallIntegerField(default=0)

    class Meta:
        abstract = True
        constraints = (
            models.CheckConstraint(
                condition=Q(
                    minutes_once__gte=0,
                    minutes_each__gte=0,
                    price_once__gte=0,
                    price_each__gte=0,
                    cost_each__gte=0,
                ),
                name="%(class)s_takes_nothing_below_zero",
            ),
        )

    def rate(self, currency: str) -> plain.Rate:
        return plain.Rate(
            driver=plain.Driver(self.driver),
            minutes_once=trimmed(self.minutes_once),
            minutes_each=trimmed(self.minutes_each),
            price_once=Money(self.price_once, currency),
            price_each=Money(self.price_each, currency),
            cost_each=Money(self.cost_each, currency),
            waiting_minutes=self.waiting_minutes,
        )


class Pan(Offered):
    """A pan with the size stamped on it. How many are owned may be none: lent out, or worn out."""

    shape = models.CharField(max_length=12, choices=SHAPES)
    size = models.DecimalField(max_digits=6, decimal_places=2)
    width = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    depth = models.DecimalField(max_digits=5, decimal_places=2)
    units = models.CharField(max_length=2, choices=UNITS)
    owned = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ("shape", "size", "width", "depth")
        constraints = (
            models.CheckConstraint(
                condition=Q(size__gt=0, depth__gt=0, owned__gte=0), name="pan_has_a_size"
            ),
            models.CheckConstraint(
                condition=Q(width__isnull=True) | Q(width__gt=0, width__lte=F("size")),
                name="pan_width_is_the_short_way",
            ),
            models.CheckConstraint(
                condition=Q(shape__in=("rectangle", "oval"), width__isnull=False)
                | (~Q(shape__in=("rectangle", "oval")) & Q(width__isnull=True)),
                name="pan_width_where_its_shape_has_one",
            ),
            models.UniqueConstraint(
                fields=("shape", "size", "depth", "units"),
                condition=Q(width__isnull=True),
                name="pan_once",
            ),
            models.UniqueConstraint(
                fields=("shape", "size", "width", "depth", "units"),
                condition=Q(width__isnull=False),
                name="pan_with_width_once",
            ),
        )

    def __str__(self) -> str:
        return self.as_value().name

    @property
    def place(self) -> tuple:
        """Where it stands in a list: by shape, rounds first, then from small to large."""
        across = to_mm(self.size, Units(self.units))
        return (
            list(plain.Shape).index(plain.Shape(self.shape)),
            across,
            self.width or 0,
            self.depth,
        )

    def as_value(self) -> plain.Pan:
        return plain.Pan(
            shape=plain.Shape(self.shape),
            size=trimmed(self.size),
            depth=trimmed(self.depth),
            units=Units(self.units),
            owned=self.owned,
            width=None if self.width is None else trimmed(self.width),
        )


class SliceSize(Named):
    """One serving seen from above, in millimetres."""

    width_mm = models.DecimalField(max_digits=7, decimal_places=3)
    depth_mm = models.DecimalField(max_digits=7, decimal_places=3)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            models.CheckConstraint(
                condition=Q(width_mm__gt=0, depth_mm__gt=0), name="slice_has_a_size"
            ),
        )

    def as_value(self) -> plain.SliceSize:
        return plain.SliceSize(self.code, self.name, float(self.width_mm), float(self.depth_mm))


class Ingredient(Named):
    """Something bought, with the allergen substances its label names."""

    contains = models.JSONField(default=list, blank=True)
    may_contain = models.JSONField(default=list, blank=True)
    cost_per_kg = models.BigIntegerField()
    sugar_share = models.DecimalField(max_digits=4, decimal_places=3, default=0)
    raw_egg = models.BooleanField(default=False)
    pack_grams = models.DecimalField(max_digits=8, decimal_places=1, default=0)
    pack_name = models.CharField(max_length=60, blank=True)
    piece_grams = models.DecimalField(max_digits=6, decimal_places=1, default=0)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            models.CheckConstraint(
                condition=Q(cost_per_kg__gte=0), name="ingredient_cost_not_below_zero"
            ),
            models.CheckConstraint(
                condition=Q(sugar_share__gte=0, sugar_share__lte=1),
                name="ingredient_sugar_share_0_to_1",
            ),
            models.CheckConstraint(
                condition=Q(pack_grams__gte=0, piece_grams__gte=0),
                name="ingredient_pack_and_piece_not_below_zero",
            ),
        )

    def as_value(self, currency: str) -> plain.Ingredient:
        return plain.Ingredient(
            code=self.code,
            name=self.name,
            contains=frozenset(self.contains),
            cost_per_kg=Money(self.cost_per_kg, currency),
            may_contain=frozenset(self.may_contain),
            sugar_share=trimmed(self.sugar_share),
            raw_egg=self.raw_egg,
            pack_grams=trimmed(self.pack_grams),
            pack_name=self.pack_name,
            piece_grams=trimmed(self.piece_grams),
        )


class WithRecipe(Named):
    """A row that has lines of a recipe."""

    class Meta:
        abstract = True

    def recipe(self) -> plain.Recipe:
        return plain.Recipe(tuple(line.as_value() for line in self.recipe_lines.all()))


class Flavour(WithRecipe):
    class Kind(models.TextChoices):
        HIGH_FAT = "high-fat", "butter cake (high-fat)"
        FOAM = "foam", "sponge or chiffon (foam)"
        DENSE = "dense", "carrot, fruit or red velvet (dense)"

    kind = models.CharField(max_length=10, choices=Kind)
    price_per_serving = models.BigIntegerField(default=0)
    batter_g_per_ml = models.DecimalField(max_digits=4, decimal_places=3, null=True, blank=True)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            models.CheckConstraint(
                condition=Q(price_per_serving__gte=0), name="flavour_price_not_below_zero"
            ),
            models.CheckConstraint(
                condition=Q(batter_g_per_ml__isnull=True) | Q(batter_g_per_ml__gt=0),
                name="flavour_batter_weighs_something",
            ),
        )

    def as_value(self, currency: str) -> plain.Flavour:
        price = Money(self.price_per_serving, currency)
        dense = None if self.batter_g_per_ml is None else trimmed(self.batter_g_per_ml)
        return plain.Flavour(self.code, self.name, self.kind, self.recipe(), price, dense)


class Filling(WithRecipe, Measured):
    price_per_serving = models.BigIntegerField(default=0)
    grams_per_ml = models.DecimalField(max_digits=4, decimal_places=2, default=Decimal("1.1"))
    keeps_cool = models.BooleanField(default=False)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            *Measured.Meta.constraints,
            models.CheckConstraint(
                condition=Q(price_per_serving__gte=0, grams_per_ml__gt=0),
                name="filling_price_and_weight",
            ),
        )

    def as_value(self, currency: str) -> plain.Filling:
        return plain.Filling(
            code=self.code,
            name=self.name,
            recipe=self.recipe(),
            price_per_serving=Money(self.price_per_serving, currency),
            grams_per_ml=trimmed(self.grams_per_ml),
            keeps_cool=self.keeps_cool,
            **self.measured(),
        )


class Finish(Rated, WithRecipe, Measured):
    class Kind(models.TextChoices):
        BUTTERCREAM = "buttercream", "buttercream"
        FONDANT = "fondant", "fondant"
        GANACHE = "ganache", "ganache"
        NAKED = "naked", "naked"

    class Texture(models.TextChoices):
        SMOOTH = "smooth", "smooth"
        COMBED = "combed", "combed"
        RUFFLED = "ruffled", "ruffled"
        RUSTIC = "rustic", "rustic"
        SHEER = "sheer", "sheer"
        DRIP = "drip", "drip"
        STENCIL = "stencil", "stencil"
        PAINTED = "painted", "painted"

    kind = models.CharField(max_length=12, choices=Kind)
    texture = models.CharField(max_length=10, choices=Texture)
    coat_mm = models.DecimalField(max_digits=4, decimal_places=1, default=4)
    grams_per_ml = models.DecimalField(max_digits=4, decimal_places=2, default=1)
    takes_colour = models.BooleanField(default=True)
    keeps_cool = models.BooleanField(default=False)
    cautions = models.JSONField(default=list, blank=True)

    class Meta(Named.Meta):
        abstract = False
        verbose_name_plural = "finishes"
        constraints = (
            *Rated.Meta.constraints,
            *Measured.Meta.constraints,
            models.CheckConstraint(
                condition=Q(coat_mm__gte=0, grams_per_ml__gt=0), name="finish_coat_and_weight"
            ),
        )

    def as_value(self, currency: str) -> plain.Finish:
        return plain.Finish(
            code=self.code,
            name=self.name,
            kind=self.kind,
            texture=self.texture,
            recipe=self.recipe(),
            rate=self.rate(currency),
            coat_mm=trimmed(self.coat_mm),
            grams_per_ml=trimmed(self.grams_per_ml),
            lead_days=self.lead_days,
            takes_colour=self.takes_colour,
            keeps_cool=self.keeps_cool,
            cautions=frozenset(self.cautions),
            **self.measured(),
        )


class Decoration(Rated, WithRecipe):
    class Symbol(models.TextChoices):
        ROSE = "rose", "rose"
        BLOSSOM = "blossom", "blossom"
        LEAF = "leaf", "leaf"
        BERRY = "berry", "berry"
        FRUIT = "fruit", "fruit"
        BORDER = "border", "border"
        DRIP = "drip", "drip"
        LETTERING = "lettering", "lettering"
        TOPPER = "topper", "topper"
        PRINT = "print", "print"
        LEAF_METAL = "leaf_metal", "metal leaf"
        FIGURE = "figure", "figure"
        RIBBON = "ribbon", "ribbon"

    symbol = models.CharField(max_length=12, choices=Symbol)
    is_eaten = models.BooleanField(default=True)
    comes_off = models.CharField(max_length=160, blank=True)
    spare_share = models.DecimalField(max_digits=4, decimal_places=3, default=0)
    grams_each = models.DecimalField(max_digits=6, decimal_places=1, default=0)
    takes_colour = models.BooleanField(default=False)
    cautions = models.JSONField(default=list, blank=True)

    class Meta(Named.Meta):
        abstract = False
        constraints = (
            *Rated.Meta.constraints,
            models.CheckConstraint(
                condition=Q(spare_share__gte=0, spare_share__lte=1),
                name="decoration_spare_share_0_to_1",
            ),
            models.CheckConstraint(
                condition=Q(grams_each__gte=0), name="decoration_grams_not_below_zero"
            ),
            models.CheckConstraint(
                condition=Q(is_eaten=True) | ~Q(comes_off=""),
                name="what_is_not_eaten_comes_off",
            ),
        )

    def as_value(self, currency: str) -> plain.Decoration:
        return plain.Decoration(
            code=self.code,
            name=self.name,
            symbol=self.symbol,
            rate=self.rate(currency),
            recipe=self.recipe(),
            lead_days=self.lead_days,
            is_eaten=self.is_eaten,
            comes_off=self.comes_off,
            spare_share=trimmed(self.spare_share),
            grams_each=trimmed(self.grams_each),
            takes_colour=self.takes_colour,
            cautions=frozenset(self.cautions),
        )
