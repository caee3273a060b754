"""The equipment, as far as it is on file, and its filters."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from customers.models.home import Home
from shop.models import test_temperature_field


class SystemKind(models.TextChoices):
    AIR_CONDITIONER = "air_conditioner", "Air conditioner"
    HEAT_PUMP = "heat_pump", "Heat pump"
    FURNACE = "furnace", "Furnace"
    AIR_HANDLER = "air_handler", "Air handler"
    PACKAGE = "package", "Packaged unit"

    @classmethod
    def cooling(cls) -> tuple[SystemKind, ...]:
        """Kinds whose cooling is tested in spring."""
        return (cls.AIR_CONDITIONER, cls.HEAT_PUMP, cls.PACKAGE)


class Refrigerant(models.TextChoices):
    R22 = "R-22"
    R134A = "R-134a"
    R407C = "R-407C"
    R410A = "R-410A"
    R32 = "R-32"
    R454B = "R-454B"


class Metering(models.TextChoices):
    FIXED = "fixed", "fixed orifice"
    TXV = "txv", "thermostatic expansion valve"
    EXV = "exv", "electronic expansion valve"


class System(models.Model):
    """One piece of equipment of a home: a condensing unit with its coil, or a furnace."""

    home = models.ForeignKey(Home, on_delete=models.CASCADE, related_name="systems")
    kind = models.CharField(max_length=16, choices=SystemKind.choices)
    brand = models.CharField(max_length=60, blank=True)
    model_number = models.CharField(max_length=60, blank=True)
    serial = models.CharField(max_length=60, blank=True)
    installed_year = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1950), MaxValueValidator(2100)]
    )
    tons = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    refrigerant = models.CharField(max_length=8, choices=Refrigerant.choices, blank=True)
    metering = models.CharField(max_length=8, choices=Metering.choices, blank=True)
    least_test_f = test_temperature_field(
        null=True,
        blank=True,
        help_text="°F; the manufacturer's own least outdoor temperature for a cooling test",
    )
    last_checked_on = models.DateField(null=True, blank=True)
    last_checked_by = models.CharField(max_length=80, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["home", "serial"],
                condition=~Q(serial=""),
                name="serial_is_once_in_a_home",
            ),
            models.CheckConstraint(
                name="system_tons_are_residential",
                condition=Q(tons=None) | Q(tons__gte=0.5, tons__lte=20),
            ),
        ]

    def __str__(self) -> str:
        return " ".join(filter(None, [self.get_kind_display(), self.brand, self.model_number]))

    @property
    def cools(self) -> bool:
        return self.kind in SystemKind.cooling()


class Filter(models.Model):
    """An air filter of a system. Sizes are nominal inches, as printed on its frame."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="filters")
    size = models.CharField(max_length=20, blank=True, help_text="inches, for example 16x25")
    thickness_in = models.DecimalField(
        max_digits=3, decimal_places=1, default=1, validators=[MinValueValidator(0.5)]
    )
    count = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    where = models.CharField(max_length=80, blank=True)
    last_changed_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="filter_is_one_to_six_inches_thick",
                condition=Q(thickness_in__gte=0.5, thickness_in__lte=6),
            )
        ]

    def __str__(self) -> str:
        return f"{self.size}x{float(self.thickness_in):g}".strip("x")
