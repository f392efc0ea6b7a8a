"""The calculators, for programs: the catalogue as data, and one answer for each question.

Nothing is kept. Inputs are texts as a person would type them, such as ``1.0 mg/L as N``.
"""

from collections.abc import Mapping
from typing import Any, Final
from uuid import UUID

from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from chemistry import calculator
from chemistry.calculator import CALCULATIONS, BadInput, Calculation
from chemistry.calculator.description import described
from facility.refusals import NotFound
from tanks.api.found import vessel_of
from tanks.queries.filling import Filled, fillings
from tanks.queries.waters import water_of
from tanks.rules.calculations import as_typed

_VESSEL: Final = "vessel"
_NO_TEXT: Final = "Write it as text or as a number, such as “{}”."
_PATH: Final = OpenApiParameter(
    "calculation",
    str,
    OpenApiParameter.PATH,
    enum=[entry.name for entry in CALCULATIONS],
    description="the name of a question in the catalogue",
)
_INPUTS: Final = OpenApiParameter(
    "inputs",
    {"type": "object", "additionalProperties": {"type": "string"}},
    style="form",
    explode=True,
    description=(
        "each ask of the catalogue by its name, with its unit, such as tan=1.0 mg/L as N; "
        "vessel=<id of a tank or system> answers from its last readings what is left out"
    ),
)
_FAULTS: Final = OpenApiResponse(
    OpenApiTypes.OBJECT, description="Sentences by ask, all of them at once."
)


class AskSerializer(serializers.Serializer[Any]):
    """One ask; what follows ``hint`` depends on its ``kind``."""

    name = serializers.CharField()
    label = serializers.CharField()  # type: ignore[assignment]  # a key of the answer
    kind = serializers.ChoiceField(["number", "series", "choice"])
    example = serializers.CharField()
    default = serializers.CharField(allow_blank=True)
    hint = serializers.CharField(allow_blank=True)
    unit = serializers.CharField(required=False)
    units = serializers.ListField(child=serializers.CharField(), required=False)
    low = serializers.FloatField(required=False)
    high = serializers.FloatField(required=False)
    needs_unit = serializers.BooleanField(required=False)
    optional = serializers.BooleanField(required=False)
    whole = serializers.BooleanField(required=False)
    fewest = serializers.IntegerField(required=False)
    options = serializers.ListField(child=serializers.DictField(), required=False)


class SourceSerializer(serializers.Serializer[Any]):
    """``mark``: found in print, computed against another, from memory, or common practice."""

    text = serializers.CharField()
    mark = serializers.CharField()


class CalculationSerializer(serializers.Serializer[Any]):
    """One question of the catalogue; it is answered at ``name`` below this address."""

    name = serializers.CharField()
    question = serializers.CharField()
    subject = serializers.CharField()
    asks = AskSerializer(many=True)
    outputs = serializers.ListField(child=serializers.DictField())
    formula = serializers.CharField()
    sources = SourceSerializer(many=True)
    cautions = serializers.ListField(child=serializers.CharField())


class FilledSerializer(serializers.Serializer[Any]):
    """What the water said of one ask: as typed, where from, and why not to lean on it."""

    typed = serializers.CharField()
    says = serializers.CharField()
    warnings = serializers.ListField(child=serializers.CharField())


class AnswerSerializer(serializers.Serializer[Any]):
    """``values`` in full by output, ``shown`` rounded, ``doubts`` as one standard uncertainty.

    ``sensitivity``: how far each output moves with one input off by its usual doubt, up and down.
    """

    name = serializers.CharField()
    question = serializers.CharField()
    given = serializers.DictField(child=serializers.DictField())
    values = serializers.DictField(child=serializers.FloatField())
    units = serializers.DictField(child=serializers.CharField(allow_blank=True))
    shown = serializers.DictField(child=serializers.CharField())
    doubts = serializers.DictField(child=serializers.FloatField())
    method = serializers.CharField(allow_blank=True)
    working = serializers.ListField(child=serializers.CharField())
    notes = serializers.ListField(child=serializers.CharField())
    sensitivity = serializers.ListField(child=serializers.DictField())
    formula = serializers.CharField()
    sources = SourceSerializer(many=True)
    cautions = serializers.ListField(child=serializers.CharField())
    filled = serializers.DictField(child=FilledSerializer())


class CalculationsView(APIView):
    """Every question that can be answered here."""

    @extend_schema(operation_id="calculations", responses=CalculationSerializer(many=True))
    def get(self, _: Request) -> Response:
        return Response([described(entry) for entry in CALCULATIONS])


class CalculationView(APIView):
    """The answer to one question, with its working, sources and sensitivity."""

    @extend_schema(
        operation_id="calculate",
        parameters=[_PATH, _INPUTS],
        responses={200: AnswerSerializer, 400: _FAULTS},
    )
    def get(self, request: Request, calculation: str) -> Response:
        return _answered(request, calculation, request.query_params.dict())

    @extend_schema(
        operation_id="calculate-posted",
        parameters=[_PATH],
        request={"application/json": {"type": "object", "additionalProperties": {}}},
        responses={200: AnswerSerializer, 400: _FAULTS},
    )
    def post(self, request: Request, calculation: str) -> Response:
        return _answered(request, calculation, request.data)


def _answered(request: Request, name: str, given: Any) -> Response:
    entry = _entry(name)
    told = _texts(entry, given)
    found = _filled(request, entry, told.pop(_VESSEL, ""))
    taken = {ask: one for ask, one in found.items() if one.text and not told.get(ask)}
    filled = {ask: as_typed(one.text, one.unit) for ask, one in taken.items()}
    try:
        made = calculator.answer(entry, filled | {ask: text for ask, text in told.items() if text})
    except BadInput as bad:
        raise ValidationError(_by_field(bad)) from bad
    return Response(made.as_json() | {"filled": _told(taken, filled)})


def _entry(name: str) -> Calculation:
    try:
        return calculator.calculation(name)
    except calculator.UnknownCalculation as unknown:
        raise NotFound(str(unknown)) from unknown


def _texts(entry: Calculation, given: Any) -> dict[str, str]:
    """A number may come as a number; everything else comes as text."""
    if not isinstance(given, Mapping):
        raise ValidationError({"non_field_errors": ["Send an object: each ask with its value."]})
    examples = {ask.name: ask.example for ask in entry.asks}
    wrong = {
        str(name): [_NO_TEXT.format(examples.get(name, "1.5"))]
        for name, value in given.items()
        if isinstance(value, bool) or not isinstance(value, str | int | float)
    }
    if wrong:
        raise ValidationError(wrong)
    return {name: str(value).strip() for name, value in given.items()}


def _filled(request: Request, entry: Calculation, vessel_id: str) -> dict[str, Filled]:
    if not vessel_id:
        return {}
    try:
        asked = UUID(vessel_id)
    except ValueError as junk:
        raise ValidationError({_VESSEL: ["Give the id of a tank or system."]}) from junk
    return fillings(entry, water_of(vessel_of(request, asked), at=timezone.now()))


def _by_field(bad: BadInput) -> dict[str, list[str]]:
    return {name or "non_field_errors": [sentence] for name, sentence in bad.faults.items()}


def _told(taken: Mapping[str, Filled], typed: Mapping[str, str]) -> dict[str, Any]:
    return {
        name: {"typed": typed[name], "says": one.says, "warnings": list(one.warnings)}
        for name, one in taken.items()
    }
