from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class Blade(_message.Message):
    __slots__ = ["fixed_mm", "moving"]
    FIXED_MM_FIELD_NUMBER: _ClassVar[int]
    MOVING_FIELD_NUMBER: _ClassVar[int]
    fixed_mm: float
    moving: Travel
    def __init__(self, fixed_mm: _Optional[float] = ..., moving: _Optional[_Union[Travel, _Mapping]] = ...) -> None: ...

class Rerip(_message.Message):
    __slots__ = ["min_width_mm", "value_per_m2"]
    MIN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    VALUE_PER_M2_FIELD_NUMBER: _ClassVar[int]
    min_width_mm: float
    value_per_m2: float
    def __init__(self, min_width_mm: _Optional[float] = ..., value_per_m2: _Optional[float] = ...) -> None: ...

class Saw(_message.Message):
    __slots__ = ["blades", "blades_changed", "edge_trim_mm", "feed_m_per_min", "fence", "handling_s", "kerf_mm", "limits", "max_skew_mm_per_m", "min_gap_mm", "min_strip_width_mm", "name", "positioning_mm_per_s", "positioning_overlaps_handling", "rerip", "step_mm"]
    BLADES_CHANGED_FIELD_NUMBER: _ClassVar[int]
    BLADES_FIELD_NUMBER: _ClassVar[int]
    EDGE_TRIM_MM_FIELD_NUMBER: _ClassVar[int]
    FEED_M_PER_MIN_FIELD_NUMBER: _ClassVar[int]
    FENCE_FIELD_NUMBER: _ClassVar[int]
    HANDLING_S_FIELD_NUMBER: _ClassVar[int]
    KERF_MM_FIELD_NUMBER: _ClassVar[int]
    LIMITS_FIELD_NUMBER: _ClassVar[int]
    MAX_SKEW_MM_PER_M_FIELD_NUMBER: _ClassVar[int]
    MIN_GAP_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_STRIP_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    NAME_FIELD_NUMBER: _ClassVar[int]
    POSITIONING_MM_PER_S_FIELD_NUMBER: _ClassVar[int]
    POSITIONING_OVERLAPS_HANDLING_FIELD_NUMBER: _ClassVar[int]
    RERIP_FIELD_NUMBER: _ClassVar[int]
    STEP_MM_FIELD_NUMBER: _ClassVar[int]
    blades: _containers.RepeatedCompositeFieldContainer[Blade]
    blades_changed: str
    edge_trim_mm: float
    feed_m_per_min: float
    fence: Travel
    handling_s: float
    kerf_mm: float
    limits: SawLimits
    max_skew_mm_per_m: float
    min_gap_mm: float
    min_strip_width_mm: float
    name: str
    positioning_mm_per_s: float
    positioning_overlaps_handling: bool
    rerip: Rerip
    step_mm: float
    def __init__(self, name: _Optional[str] = ..., kerf_mm: _Optional[float] = ..., step_mm: _Optional[float] = ..., fence: _Optional[_Union[Travel, _Mapping]] = ..., blades: _Optional[_Iterable[_Union[Blade, _Mapping]]] = ..., min_gap_mm: _Optional[float] = ..., edge_trim_mm: _Optional[float] = ..., min_strip_width_mm: _Optional[float] = ..., limits: _Optional[_Union[SawLimits, _Mapping]] = ..., rerip: _Optional[_Union[Rerip, _Mapping]] = ..., max_skew_mm_per_m: _Optional[float] = ..., feed_m_per_min: _Optional[float] = ..., positioning_mm_per_s: _Optional[float] = ..., handling_s: _Optional[float] = ..., positioning_overlaps_handling: bool = ..., blades_changed: _Optional[str] = ...) -> None: ...

class SawLimits(_message.Message):
    __slots__ = ["max_length_mm", "max_thickness_mm", "max_width_mm", "min_length_mm", "min_thickness_mm", "min_width_mm"]
    MAX_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MAX_THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    MAX_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    max_length_mm: float
    max_thickness_mm: float
    max_width_mm: float
    min_length_mm: float
    min_thickness_mm: float
    min_width_mm: float
    def __init__(self, min_length_mm: _Optional[float] = ..., max_length_mm: _Optional[float] = ..., min_width_mm: _Optional[float] = ..., max_width_mm: _Optional[float] = ..., min_thickness_mm: _Optional[float] = ..., max_thickness_mm: _Optional[float] = ...) -> None: ...

class Travel(_message.Message):
    __slots__ = ["max_mm", "min_mm"]
    MAX_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_MM_FIELD_NUMBER: _ClassVar[int]
    max_mm: float
    min_mm: float
    def __init__(self, min_mm: _Optional[float] = ..., max_mm: _Optional[float] = ...) -> None: ...
