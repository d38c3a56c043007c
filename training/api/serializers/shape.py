"""How frozen dataclasses go out: their fields are stated once, where they are declared."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from typing import Any

from django.utils.functional import cached_property
from rest_framework import serializers
from rest_framework_dataclasses.field_utils import (
    DataclassDefinition,
    TypeInfo,
    get_dataclass_definition,
)
from rest_framework_dataclasses.serializers import DataclassSerializer

Made = tuple[type[serializers.Field[Any, Any, Any, Any]], dict[str, Any]]
"""A kind of field with what it is to be made with, as the library passes them around."""


class Shape(DataclassSerializer[Any]):
    """What goes out of one dataclass: all of its fields, by their names and types.

    A shape states only what differs. Its docstring is the document's; ``Meta``
    has ``dataclass``, a name of the document's own (``ref_name``), what stays
    here (``exclude``), words for single fields (``extra_kwargs``) and the shapes
    by which the dataclasses inside of it go out (``inner``). A field declared
    in it stands in for the dataclass's or beside it.
    """

    serializer_field_mapping = {
        **DataclassSerializer.serializer_field_mapping,
        Fraction: serializers.FloatField,
    }

    @cached_property
    def dataclass_definition(self) -> DataclassDefinition[Any]:
        """Looked up once a process: reading type hints costs more than the rest together."""
        kind: Any = self.dataclass or self.Meta.dataclass  # type: ignore[attr-defined]
        return _definition(kind)

    @property
    def serializer_dataclass_field(self) -> type[Shape]:
        """What a dataclass goes out by that has no shape of its own."""
        return Shape

    def get_default_field_names(self, declared_fields: Iterable[str]) -> list[str]:
        """In the dataclass's order; what is declared beside it comes last."""
        return list(dict.fromkeys([*self.dataclass_definition.fields, *declared_fields]))

    def build_typed_field(self, field_name: str, type_info: TypeInfo, extra_kwargs: Any) -> Made:
        """A field is always there, also where the dataclass has a default for it."""
        kind, kwargs = super().build_typed_field(field_name, type_info, extra_kwargs)
        kwargs.pop("required", None)
        return kind, kwargs

    def build_dataclass_field(self, field_name: str, type_info: TypeInfo) -> Made:
        for shape in getattr(getattr(self, "Meta", None), "inner", ()):
            if shape.Meta.dataclass is type_info.base_type:
                return shape, {}
        return super().build_dataclass_field(field_name, type_info)

    def build_enum_field(self, field_name: str, type_info: TypeInfo) -> Made:
        """The words that go out are the values; names of Python's stay in Python."""
        return serializers.ChoiceField, {"choices": [one.value for one in type_info.base_type]}  # type: ignore[attr-defined]

    @classmethod
    def out(cls, instance: Any) -> dict[str, Any]:
        """What goes out of one dataclass, by fields that are made once a process.

        To make them costs more than to fill them. Filling changes nothing in them, so threads
        may share them.
        """
        return _ready(cls).to_representation(instance)


@cache
def _ready(shape: type[Shape]) -> Shape:
    return shape()


@cache
def _definition(kind: type) -> DataclassDefinition[Any]:
    return get_dataclass_definition(kind)


class Pair(serializers.Serializer[Any]):
    """What a dataclass holds as a plain pair, by the names declared here, in their order."""

    def to_representation(self, instance: tuple[Any, ...]) -> dict[str, Any]:
        return super().to_representation(dict(zip(self.fields, instance, strict=True)))


def plain(instance: Any) -> dict[str, Any]:
    """A dataclass as a mapping, one level deep."""
    return {one.name: getattr(instance, one.name) for one in dataclasses.fields(instance)}
