"""One sheet for each way to know a volume; the numbers stay text, as they were written."""

from decimal import Decimal
from typing import Any, ClassVar

from django.forms import ChoiceField
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from tanks.commands.volumes import MeasureVolume
from tanks.models import Vessel
from tanks.rules.volumes import GEOMETRY, METER_UNITS, METERED, BadBasis, Working, working


def _cm(label: str, help_text: str = "", *, required: bool = True) -> NumberField:
    return NumberField(label=label, unit="cm", low=0, required=required, help_text=help_text)


class VolumeSheet(CommandSheet):
    """``means`` and ``shape`` are the sheet's own; the other fields are the measures."""

    means: ClassVar[str]
    shape: ClassVar[str] = ""
    title: ClassVar[str]
    happened_at = WallClockField(
        label="Holds since", initial=timezone.now, help_text="When it was filled or measured."
    )
    found: Working | None = None

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        measures = [name for name in self.fields if name != "happened_at"]
        self.order_fields([*measures, "happened_at"])

    def clean(self) -> dict[str, Any]:
        """Work the litres out, so that they can be seen before anything is kept."""
        given = super().clean() or self.cleaned_data
        if not self.errors:
            self._work_out()
        return given

    def basis(self) -> dict[str, Any]:
        measures = {
            name: str(value)
            for name, value in self.cleaned_data.items()
            if name not in ("id", "happened_at") and value not in (None, "")
        }
        return {"shape": self.shape, **measures} if self.shape else measures

    def command(self, vessel: Vessel) -> MeasureVolume:
        return MeasureVolume(
            id=self.cleaned_data["id"],
            vessel_id=vessel.pk,
            happened_at=self.cleaned_data["happened_at"],
            means=self.means,
            basis=self.basis(),
        )

    def _work_out(self) -> None:
        try:
            self.found = working(self.means, self.basis())
        except BadBasis as error:
            self.add_error(error.field if error.field in self.fields else None, str(error))


class MeteredSheet(VolumeSheet):
    means = METERED
    title = "Metered fill"
    litres = NumberField(
        label="Litres run in",
        unit="L",
        low=Decimal("0.01"),
        required=False,
        help_text="Straight from the meter, or fill in its two readings instead.",
    )
    meter_before = NumberField(label="Meter before", low=0, required=False)
    meter_after = NumberField(label="Meter after", low=0, required=False)
    meter_unit = ChoiceField(
        label="The meter counts in",
        choices=list(METER_UNITS.items()),
        initial="L",
        widget=Segmented(),
    )

    def basis(self) -> dict[str, Any]:
        given = super().basis()
        if "litres" in given:
            given.pop("meter_unit", None)
        return given


class MeasuredSheet(VolumeSheet):
    """A shape, less what stands in its water."""

    means = GEOMETRY
    bed_depth_cm = _cm("Depth of gravel or sand", required=False)
    bed_porosity = NumberField(
        label="Share of the bed that is water",
        low=0,
        high=1,
        required=False,
        help_text="Wet-packed sand 0.28 to 0.42 (Beard & Weyl 1973); 0.4 suits even gravel.",
    )
    rock_kg = NumberField(label="Rock", unit="kg", low=0, required=False)
    rock_density_kg_l = NumberField(
        label="Density of the rock",
        unit="kg/L",
        low=0,
        required=False,
        help_text="2.7 for limestone whose pores fill with water; less for a closed lump.",
    )
    rare = ("bed_depth_cm", "bed_porosity", "rock_kg", "rock_density_kg_l")
    rare_title = "Less what stands in the water: bed and rock"


class BoxSheet(MeasuredSheet):
    shape = "box"
    title = "Box"
    length_cm = _cm("Length", "Outside.")
    width_cm = _cm("Width", "Outside, front to back.")
    height_cm = _cm("Height", "Outside, floor to rim.")
    glass_cm = _cm("Thickness of a wall")
    base_cm = _cm("Thickness of the base")
    freeboard_cm = _cm("Rim to water", "How far the running level stands below the rim.")


class CylinderSheet(MeasuredSheet):
    shape = "cylinder"
    title = "Cylinder"
    diameter_cm = _cm("Diameter", "Inside.")
    depth_cm = _cm("Depth of water")


class BowFrontSheet(MeasuredSheet):
    shape = "bow_front"
    title = "Bow front"
    length_cm = _cm("Length", "Inside.")
    end_width_cm = _cm("Width at the ends", "Inside, front to back.")
    centre_width_cm = _cm("Width in the middle", "Inside, front to back, at the bow.")
    depth_cm = _cm("Depth of water")


class HexagonSheet(MeasuredSheet):
    shape = "hexagon"
    title = "Hexagon"
    side_cm = _cm("Length of a side", "Inside; all six alike.")
    depth_cm = _cm("Depth of water")


SHEETS: dict[str, type[VolumeSheet]] = {
    "metered": MeteredSheet,
    "box": BoxSheet,
    "cylinder": CylinderSheet,
    "bow-front": BowFrontSheet,
    "hexagon": HexagonSheet,
}
