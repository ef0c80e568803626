from google.protobuf import descriptor_pb2 as _descriptor_pb2
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
SCOPES_FIELD_NUMBER: _ClassVar[int]
TAKES_FIELD_NUMBER: _ClassVar[int]
scopes: _descriptor.FieldDescriptor
takes: _descriptor.FieldDescriptor

class Takes(_message.Message):
    __slots__ = ["characters", "entries", "number"]
    CHARACTERS_FIELD_NUMBER: _ClassVar[int]
    ENTRIES_FIELD_NUMBER: _ClassVar[int]
    NUMBER_FIELD_NUMBER: _ClassVar[int]
    characters: TakesRange
    entries: TakesRange
    number: TakesRange
    def __init__(self, number: _Optional[_Union[TakesRange, _Mapping]] = ..., characters: _Optional[_Union[TakesRange, _Mapping]] = ..., entries: _Optional[_Union[TakesRange, _Mapping]] = ...) -> None: ...

class TakesRange(_message.Message):
    __slots__ = ["above_min", "max", "min", "whole"]
    ABOVE_MIN_FIELD_NUMBER: _ClassVar[int]
    MAX_FIELD_NUMBER: _ClassVar[int]
    MIN_FIELD_NUMBER: _ClassVar[int]
    WHOLE_FIELD_NUMBER: _ClassVar[int]
    above_min: bool
    max: float
    min: float
    whole: bool
    def __init__(self, min: _Optional[float] = ..., max: _Optional[float] = ..., above_min: bool = ..., whole: bool = ...) -> None: ...
