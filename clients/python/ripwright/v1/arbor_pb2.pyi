from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import planning_pb2 as _planning_pb2
from ripwright.v1 import quote_pb2 as _quote_pb2
from ripwright.v1 import saw_pb2 as _saw_pb2
from ripwright.v1 import sequence_pb2 as _sequence_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class ArborScore(_message.Message):
    __slots__ = ["arbors", "blades_moved", "boards", "cycle_s", "fixed_mm", "gain", "worth", "yield_ratio"]
    ARBORS_FIELD_NUMBER: _ClassVar[int]
    BLADES_MOVED_FIELD_NUMBER: _ClassVar[int]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    CYCLE_S_FIELD_NUMBER: _ClassVar[int]
    FIXED_MM_FIELD_NUMBER: _ClassVar[int]
    GAIN_FIELD_NUMBER: _ClassVar[int]
    WORTH_FIELD_NUMBER: _ClassVar[int]
    YIELD_RATIO_FIELD_NUMBER: _ClassVar[int]
    arbors: _containers.RepeatedCompositeFieldContainer[_sequence_pb2.ArborSetting]
    blades_moved: int
    boards: int
    cycle_s: float
    fixed_mm: _containers.RepeatedScalarFieldContainer[float]
    gain: _quote_pb2.Estimate
    worth: float
    yield_ratio: float
    def __init__(self, fixed_mm: _Optional[_Iterable[float]] = ..., worth: _Optional[float] = ..., gain: _Optional[_Union[_quote_pb2.Estimate, _Mapping]] = ..., yield_ratio: _Optional[float] = ..., cycle_s: _Optional[float] = ..., blades_moved: _Optional[int] = ..., boards: _Optional[int] = ..., arbors: _Optional[_Iterable[_Union[_sequence_pb2.ArborSetting, _Mapping]]] = ...) -> None: ...

class PlanArborRequest(_message.Message):
    __slots__ = ["level", "lumber", "max_settings", "max_suggestions", "orders", "pace", "saw", "saw_name", "spacers", "time_limit_ms"]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    LUMBER_FIELD_NUMBER: _ClassVar[int]
    MAX_SETTINGS_FIELD_NUMBER: _ClassVar[int]
    MAX_SUGGESTIONS_FIELD_NUMBER: _ClassVar[int]
    ORDERS_FIELD_NUMBER: _ClassVar[int]
    PACE_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SPACERS_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    level: float
    lumber: _planning_pb2.Lumber
    max_settings: int
    max_suggestions: int
    orders: _containers.RepeatedCompositeFieldContainer[WeightedOrder]
    pace: _quote_pb2.SawPace
    saw: _saw_pb2.Saw
    saw_name: str
    spacers: Spacers
    time_limit_ms: float
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., orders: _Optional[_Iterable[_Union[WeightedOrder, _Mapping]]] = ..., lumber: _Optional[_Union[_planning_pb2.Lumber, _Mapping]] = ..., spacers: _Optional[_Union[Spacers, _Mapping]] = ..., max_suggestions: _Optional[int] = ..., max_settings: _Optional[int] = ..., level: _Optional[float] = ..., pace: _Optional[_Union[_quote_pb2.SawPace, _Mapping]] = ..., time_limit_ms: _Optional[float] = ...) -> None: ...

class PlanArborResponse(_message.Message):
    __slots__ = ["all_tried", "arbor_fingerprint", "ended_by", "fixed_only", "leave_as_is", "left_undone", "more_moving", "saw_fingerprint", "screened", "solve_time_us", "suggestions", "today", "tried"]
    ALL_TRIED_FIELD_NUMBER: _ClassVar[int]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    FIXED_ONLY_FIELD_NUMBER: _ClassVar[int]
    LEAVE_AS_IS_FIELD_NUMBER: _ClassVar[int]
    LEFT_UNDONE_FIELD_NUMBER: _ClassVar[int]
    MORE_MOVING_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SCREENED_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    SUGGESTIONS_FIELD_NUMBER: _ClassVar[int]
    TODAY_FIELD_NUMBER: _ClassVar[int]
    TRIED_FIELD_NUMBER: _ClassVar[int]
    all_tried: bool
    arbor_fingerprint: str
    ended_by: _plan_pb2.EndedBy
    fixed_only: ArborScore
    leave_as_is: bool
    left_undone: str
    more_moving: ArborScore
    saw_fingerprint: str
    screened: int
    solve_time_us: float
    suggestions: _containers.RepeatedCompositeFieldContainer[ArborScore]
    today: ArborScore
    tried: int
    def __init__(self, today: _Optional[_Union[ArborScore, _Mapping]] = ..., suggestions: _Optional[_Iterable[_Union[ArborScore, _Mapping]]] = ..., fixed_only: _Optional[_Union[ArborScore, _Mapping]] = ..., more_moving: _Optional[_Union[ArborScore, _Mapping]] = ..., tried: _Optional[int] = ..., all_tried: bool = ..., ended_by: _Optional[_Union[_plan_pb2.EndedBy, str]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., solve_time_us: _Optional[float] = ..., left_undone: _Optional[str] = ..., screened: _Optional[int] = ..., leave_as_is: bool = ...) -> None: ...

class Spacers(_message.Message):
    __slots__ = ["increment_mm", "max_mm", "min_mm", "origin_mm"]
    INCREMENT_MM_FIELD_NUMBER: _ClassVar[int]
    MAX_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_MM_FIELD_NUMBER: _ClassVar[int]
    ORIGIN_MM_FIELD_NUMBER: _ClassVar[int]
    increment_mm: float
    max_mm: float
    min_mm: float
    origin_mm: float
    def __init__(self, increment_mm: _Optional[float] = ..., origin_mm: _Optional[float] = ..., min_mm: _Optional[float] = ..., max_mm: _Optional[float] = ...) -> None: ...

class WeightedOrder(_message.Message):
    __slots__ = ["order", "weight"]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    WEIGHT_FIELD_NUMBER: _ClassVar[int]
    order: _order_pb2.CutOrder
    weight: int
    def __init__(self, order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., weight: _Optional[int] = ...) -> None: ...
