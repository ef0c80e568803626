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
    __slots__ = ["above", "least", "most", "whole"]
    ABOVE_FIELD_NUMBER: _ClassVar[int]
    LEAST_FIELD_NUMBER: _ClassVar[int]
    MOST_FIELD_NUMBER: _ClassVar[int]
    WHOLE_FIELD_NUMBER: _ClassVar[int]
    above: bool
    least: float
    most: float
    whole: bool
    def __init__(self, least: _Optional[float] = ..., most: _Optional[float] = ..., above: bool = ..., whole: bool = ...) -> None: ...
