"""Where the systems stand, and the facts that decide what the home needs."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import Q

from customers.models.customer import Customer
from kit.when import ALL_HALVES_MASK, WeekHalves
from shop.models import Branch

check_zip = RegexValidator(r"^\d{5}$", "A ZIP code is five digits, for example 53202.")


class Precision(models.TextChoices):
    """How well the place of a home is known."""

    EXACT = "exact", "exact point"
    ZIP = "zip", "middle of the ZIP code"
    UNKNOWN = "unknown", "not known"


class HomeQuerySet(models.QuerySet["Home"]):
    def of(self, branch: Branch) -> HomeQuerySet:
        return self.filter(customer__branch=branch)

    def matching(self, words: str) -> HomeQuerySet:
        """Homes whose name, address, phone or e-mail holds every one of the words."""
        found = self
        for word in words.lower().split():
            found = found.filter(search_text__contains=word)
        return found

    def without_a_place(self) -> HomeQuerySet:
        return self.filter(latitude=None)


class Home(models.Model):
    """One address with one or more systems."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="homes")
    street = models.CharField(max_length=120)
    unit = models.CharField(max_length=20, blank=True)
    city = models.CharField(max_length=60)
    state = models.CharField(max_length=2)
    zip = models.CharField("ZIP", max_length=5, validators=[check_zip])
    latitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)]
    )
    longitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    elevation_ft = models.IntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(-300), MaxValueValidator(12000)],
        help_text="Empty: the branch's",
    )
    precision = models.CharField(max_length=8, choices=Precision.choices, default=Precision.UNKNOWN)

    access_notes = models.TextField(blank=True)
    gate_code = models.CharField(max_length=40, blank=True)
    dog = models.CharField(max_length=80, blank=True, help_text="What to know about the dog")

    # None means not asked yet.
    pets = models.BooleanField(null=True, blank=True)
    smokers = models.BooleanField(null=True, blank=True)
    winter_cover = models.BooleanField(null=True, blank=True)
    ice_falls_on_unit = models.BooleanField(null=True, blank=True)
    plants_near_unit = models.BooleanField(null=True, blank=True)
    high_low_returns = models.BooleanField(null=True, blank=True)

    halves_mask = models.PositiveSmallIntegerField(
        default=ALL_HALVES_MASK, help_text="Half days of the week that suit (kit.when.WeekHalves)"
    )
    short_notice = models.BooleanField(
        default=False, help_text="Agreed to come with two days' notice"
    )
    # Lower-case name, address, digits of the phones and e-mail: what a search looks through.
    search_text = models.TextField(default="", editable=False)

    objects = HomeQuerySet.as_manager()

    class Meta:
        ordering = ["customer__name", "street", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["customer", "street", "unit", "zip"], name="home_is_listed_once"
            ),
            models.CheckConstraint(
                name="home_has_a_whole_place_or_none",
                condition=Q(latitude=None, longitude=None, precision=Precision.UNKNOWN)
                | (
                    Q(latitude__isnull=False, longitude__isnull=False)
                    & ~Q(precision=Precision.UNKNOWN)
                ),
            ),
            models.CheckConstraint(
                name="home_halves_are_of_one_week",
                condition=Q(halves_mask__range=(0, ALL_HALVES_MASK)),
            ),
        ]
        indexes = [models.Index(fields=["zip"], name="season_filter_by_area")]

    def __str__(self) -> str:
        return f"{self.street}, {self.city}"

    @property
    def halves(self) -> WeekHalves:
        return WeekHalves(self.halves_mask)

    @property
    def point(self) -> tuple[float, float]:
        """Latitude and longitude of a home whose place is known."""
        if self.latitude is None or self.longitude is None:
            raise ValueError(f"The place of {self} is not known.")
        return self.latitude, self.longitude

    @property
    def has_private_words(self) -> bool:
        """Is anything on file that only the office and the technician of the day may read?"""
        return bool(self.gate_code or self.access_notes or self.customer.notes)

    @property
    def address(self) -> str:
        street = f"{self.street} {self.unit}".strip()
        return f"{street}, {self.city}, {self.state} {self.zip}"
