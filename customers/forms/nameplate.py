"""The part of the system's form that copies the plate."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms

from customers.models import Nameplate
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out

PAIRS = (
    ("least_superheat_f", "most_superheat_f", "The least superheat is below the most."),
    ("least_rise_f", "most_rise_f", "The least rise is below the most."),
    ("line_v_lower", "line_v", "Of a double rating such as 208/230 the lower comes here."),
)


class NameplateForm(WatchedForm):
    """Everything may stay empty: "not on file"."""

    one_for = "system"

    helper = laid_out(
        Fieldset(
            "On the plate: cooling",
            Row("factory_charge_oz", "target_subcooling_f", "subcooling_tolerance_f"),
            Row("least_superheat_f", "most_superheat_f", "preferred_test_f"),
            Row("inverter", "stages"),
        ),
        Fieldset(
            "On the plate: electrical",
            Row("line_v", "line_v_lower", "phases"),
            Row("compressor_rla_a", "compressor_lra_a", "outdoor_fan_fla_a"),
            Row("blower_fla_a", "inducer_fla_a"),
            Row("least_circuit_a", "most_breaker_a", "installed_breaker_a"),
            Row("disconnect", "fuse_a"),
            Row("capacitor_compressor_uf", "capacitor_fan_uf"),
            Row("capacitor_tolerance_percent", "capacitor_v"),
        ),
        Fieldset(
            "On the plate: air and heating",
            Row("most_tesp_in_wc", "least_rise_f", "most_rise_f"),
            Row("fuel", "gas_input_btu_h", "efficiency_percent"),
            Row("manifold_in_wc", "least_flame_ua", "venting"),
            Row("aux_heat_kw", "reversing_valve", "balance_point_f"),
        ),
    )

    class Meta:
        model = Nameplate
        exclude = ["system"]  # every figure of the plate, now and later
        labels = {
            "factory_charge_oz": "Factory charge, oz",
            "target_subcooling_f": "Target subcooling, °F",
            "subcooling_tolerance_f": "Tolerance of it, ± °F",
            "least_superheat_f": "Superheat with a valve, least °F",
            "most_superheat_f": "most °F",
            "preferred_test_f": "Tested best from, °F outdoors",
            "inverter": "Variable speed compressor",
            "line_v": "Voltage",
            "line_v_lower": "Lower voltage of a double rating",
            "compressor_rla_a": "Compressor RLA, A",
            "compressor_lra_a": "Compressor LRA, A",
            "outdoor_fan_fla_a": "Outdoor fan FLA, A",
            "blower_fla_a": "Blower FLA, A",
            "inducer_fla_a": "Inducer FLA, A",
            "least_circuit_a": "Minimum circuit ampacity, A",
            "most_breaker_a": "Maximum breaker or fuse, A",
            "installed_breaker_a": "Breaker in place, A",
            "fuse_a": "Fuses in the disconnect, A",
            "capacitor_compressor_uf": "Capacitor of the compressor, µF",
            "capacitor_fan_uf": "Capacitor of the fan, µF",
            "capacitor_tolerance_percent": "Capacitor tolerance, ± per cent",
            "capacitor_v": "Capacitor rating, V AC",
            "most_tesp_in_wc": "Maximum static pressure, in WC",
            "gas_input_btu_h": "Gas input, Btu/h",
            "efficiency_percent": "AFUE, per cent",
            "least_rise_f": "Temperature rise, least °F",
            "most_rise_f": "most °F",
            "manifold_in_wc": "Manifold pressure, in WC",
            "least_flame_ua": "Flame current, least µA",
            "venting": "Vent category",
            "aux_heat_kw": "Auxiliary heat, kW",
            "balance_point_f": "Balance point, °F outdoors",
        }
        help_texts = {"capacitor_fan_uf": "Of a dual capacitor 45/5 this is the 5."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("disconnect", "fuel", "venting", "reversing_valve", "phases"):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", "not on file"), *self._meta.model._meta.get_field(name).choices]
        self.fields["inverter"].widget.choices = [
            ("unknown", "not on file"), ("true", "yes"), ("false", "no")
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        for least, most, words in PAIRS:
            low, high = cleaned.get(least), cleaned.get(most)
            if low is not None and high is not None and low >= high:
                self.add_error(least, words)
        if cleaned.get("line_v_lower") is not None and cleaned.get("line_v") is None:
            self.add_error("line_v", "A double rating has both voltages.")
        return cleaned
