from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Optional as _Optional

DESCRIPTOR: _descriptor.FileDescriptor

class Setting(_message.Message):
    __slots__ = ["blades_mm", "fence_mm", "skew_mm_per_m"]
    BLADES_MM_FIELD_NUMBER: _ClassVar[int]
    FENCE_MM_FIELD_NUMBER: _ClassVar[int]
    SKEW_MM_PER_M_FIELD_NUMBER: _ClassVar[int]
    blades_mm: _containers.RepeatedScalarFieldContainer[float]
    fence_mm: float
    skew_mm_per_m: float
    def __init__(self, fence_mm: _Optional[float] = ..., blades_mm: _Optional[_Iterable[float]] = ..., skew_mm_per_m: _Optional[float] = ...) -> None: ...
