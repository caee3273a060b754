"""What is printed on the equipment's plate, and the targets in its maker's papers.

Everything may be missing: None is "not on file", and what rests on it is then not judged.
"""

from __future__ import annotations

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from customers.models.system import System


class Fuel(models.TextChoices):
    NATURAL_GAS = "natural_gas", "natural gas"
    PROPANE = "propane", "propane"


class Disconnect(models.TextChoices):
    FUSED = "fused", "pull-out with fuses"
    NOT_FUSED = "not_fused", "pull-out without fuses"
    BREAKER = "breaker", "breaker"
    SWITCH = "switch", "switch"


class ReversingValve(models.TextChoices):
    O = "O", "O: energised to cool"  # noqa: E741  (the terminal's letter)
    B = "B", "B: energised to heat"


class Venting(models.TextChoices):
    """Categories of vented gas appliances, as their plates print them."""

    ONE = "I", "I"
    TWO = "II", "II"
    THREE = "III", "III"
    FOUR = "IV", "IV"


def figure(least: float, most: float, **more: Any) -> models.FloatField:
    """A number that may be missing, within what a home's equipment can have on its plate."""
    words = f"{least:g} to {most:g}"
    return models.FloatField(
        null=True,
        blank=True,
        help_text=more.pop("help_text", words),
        validators=[
            MinValueValidator(least, f"{words}; is the unit right?"),
            MaxValueValidator(most, f"{words}; is the unit right?"),
        ],
        **more,
    )


class Nameplate(models.Model):
    """One for each system, made when its first figure is entered."""

    system = models.OneToOneField(System, on_delete=models.CASCADE, related_name="nameplate")

    # Cooling
    factory_charge_oz = figure(5, 1000)
    target_subcooling_f = figure(1, 30)
    subcooling_tolerance_f = figure(1, 5)
    least_superheat_f = figure(0, 40)
    most_superheat_f = figure(0, 40)
    preferred_test_f = figure(50, 80)
    inverter = models.BooleanField(null=True, blank=True)
    stages = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(5)]
    )

    # Electrical
    line_v = figure(100, 480)
    line_v_lower = figure(100, 480)
    phases = models.PositiveSmallIntegerField(
        null=True, blank=True, choices=[(1, "single"), (3, "three")]
    )
    compressor_rla_a = figure(1, 100)
    compressor_lra_a = figure(5, 500)
    outdoor_fan_fla_a = figure(0.1, 10)
    blower_fla_a = figure(0.1, 20)
    inducer_fla_a = figure(0.1, 10)
    least_circuit_a = figure(1, 200)
    most_breaker_a = figure(10, 200)
    installed_breaker_a = figure(10, 200)
    disconnect = models.CharField(max_length=12, choices=Disconnect.choices, blank=True)
    fuse_a = figure(5, 200)
    capacitor_compressor_uf = figure(1, 100)
    capacitor_fan_uf = figure(1, 25)
    capacitor_tolerance_percent = figure(1, 20)
    capacitor_v = figure(200, 600)

    # Air and heating
    most_tesp_in_wc = figure(0.1, 2)
    fuel = models.CharField(max_length=12, choices=Fuel.choices, blank=True)
    gas_input_btu_h = figure(10_000, 400_000)
    efficiency_percent = figure(50, 100)
    least_rise_f = figure(5, 120)
    most_rise_f = figure(5, 120)
    manifold_in_wc = figure(0.5, 15)
    least_flame_ua = figure(0.1, 10)
    venting = models.CharField(max_length=4, choices=Venting.choices, blank=True)
    aux_heat_kw = figure(1, 40)
    reversing_valve = models.CharField(max_length=1, choices=ReversingValve.choices, blank=True)
    balance_point_f = figure(-20, 60)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="least_superheat_is_below_the_most",
                condition=Q(least_superheat_f=None)
                | Q(most_superheat_f=None)
                | Q(least_superheat_f__lt=F("most_superheat_f")),
            ),
            models.CheckConstraint(
                name="least_rise_is_below_the_most",
                condition=Q(least_rise_f=None)
                | Q(most_rise_f=None)
                | Q(least_rise_f__lt=F("most_rise_f")),
            ),
            models.CheckConstraint(
                name="the_lower_voltage_is_the_lower",
                condition=Q(line_v_lower=None)
                | Q(line_v__isnull=False, line_v_lower__lt=F("line_v")),
            ),
        ]

    def __str__(self) -> str:
        return f"Plate of {self.system}"
