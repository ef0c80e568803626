from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class ArborSetting(_message.Message):
    __slots__ = ["duration_minutes", "fixed_mm"]
    DURATION_MINUTES_FIELD_NUMBER: _ClassVar[int]
    FIXED_MM_FIELD_NUMBER: _ClassVar[int]
    duration_minutes: float
    fixed_mm: _containers.RepeatedScalarFieldContainer[float]
    def __init__(self, fixed_mm: _Optional[_Iterable[float]] = ..., duration_minutes: _Optional[float] = ...) -> None: ...

class ChangeTime(_message.Message):
    __slots__ = ["per_blade_minutes", "setup_minutes"]
    PER_BLADE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    SETUP_MINUTES_FIELD_NUMBER: _ClassVar[int]
    per_blade_minutes: float
    setup_minutes: float
    def __init__(self, setup_minutes: _Optional[float] = ..., per_blade_minutes: _Optional[float] = ...) -> None: ...

class OrderSequence(_message.Message):
    __slots__ = ["change_minutes", "jobs", "late_minutes", "total_minutes", "weighted_late_minutes"]
    CHANGE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    JOBS_FIELD_NUMBER: _ClassVar[int]
    LATE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    TOTAL_MINUTES_FIELD_NUMBER: _ClassVar[int]
    WEIGHTED_LATE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    change_minutes: float
    jobs: _containers.RepeatedCompositeFieldContainer[SequencedJob]
    late_minutes: float
    total_minutes: float
    weighted_late_minutes: float
    def __init__(self, jobs: _Optional[_Iterable[_Union[SequencedJob, _Mapping]]] = ..., change_minutes: _Optional[float] = ..., late_minutes: _Optional[float] = ..., total_minutes: _Optional[float] = ..., weighted_late_minutes: _Optional[float] = ...) -> None: ...

class SequenceJob(_message.Message):
    __slots__ = ["arbors", "due_minutes", "earliest_start_minutes", "order_id", "weight"]
    ARBORS_FIELD_NUMBER: _ClassVar[int]
    DUE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    EARLIEST_START_MINUTES_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    WEIGHT_FIELD_NUMBER: _ClassVar[int]
    arbors: _containers.RepeatedCompositeFieldContainer[ArborSetting]
    due_minutes: float
    earliest_start_minutes: float
    order_id: str
    weight: int
    def __init__(self, order_id: _Optional[str] = ..., arbors: _Optional[_Iterable[_Union[ArborSetting, _Mapping]]] = ..., due_minutes: _Optional[float] = ..., earliest_start_minutes: _Optional[float] = ..., weight: _Optional[int] = ...) -> None: ...

class SequenceOrdersRequest(_message.Message):
    __slots__ = ["change", "current_fixed_mm", "jobs", "time_limit_ms", "work_limit"]
    CHANGE_FIELD_NUMBER: _ClassVar[int]
    CURRENT_FIXED_MM_FIELD_NUMBER: _ClassVar[int]
    JOBS_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    WORK_LIMIT_FIELD_NUMBER: _ClassVar[int]
    change: ChangeTime
    current_fixed_mm: _containers.RepeatedScalarFieldContainer[float]
    jobs: _containers.RepeatedCompositeFieldContainer[SequenceJob]
    time_limit_ms: float
    work_limit: float
    def __init__(self, jobs: _Optional[_Iterable[_Union[SequenceJob, _Mapping]]] = ..., current_fixed_mm: _Optional[_Iterable[float]] = ..., change: _Optional[_Union[ChangeTime, _Mapping]] = ..., time_limit_ms: _Optional[float] = ..., work_limit: _Optional[float] = ...) -> None: ...

class SequenceOrdersResponse(_message.Message):
    __slots__ = ["best", "change_bound_minutes", "ended_by", "given", "proven", "solve_time_us", "total_bound_minutes", "weighted_late_bound_minutes", "work"]
    BEST_FIELD_NUMBER: _ClassVar[int]
    CHANGE_BOUND_MINUTES_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    GIVEN_FIELD_NUMBER: _ClassVar[int]
    PROVEN_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    TOTAL_BOUND_MINUTES_FIELD_NUMBER: _ClassVar[int]
    WEIGHTED_LATE_BOUND_MINUTES_FIELD_NUMBER: _ClassVar[int]
    WORK_FIELD_NUMBER: _ClassVar[int]
    best: OrderSequence
    change_bound_minutes: float
    ended_by: _plan_pb2.EndedBy
    given: OrderSequence
    proven: bool
    solve_time_us: float
    total_bound_minutes: float
    weighted_late_bound_minutes: float
    work: float
    def __init__(self, best: _Optional[_Union[OrderSequence, _Mapping]] = ..., given: _Optional[_Union[OrderSequence, _Mapping]] = ..., proven: bool = ..., change_bound_minutes: _Optional[float] = ..., ended_by: _Optional[_Union[_plan_pb2.EndedBy, str]] = ..., solve_time_us: _Optional[float] = ..., weighted_late_bound_minutes: _Optional[float] = ..., total_bound_minutes: _Optional[float] = ..., work: _Optional[float] = ...) -> None: ...

class SequencedJob(_message.Message):
    __slots__ = ["arbor", "blades_moved", "change_minutes", "done_minutes", "late_minutes", "order_id", "start_minutes"]
    ARBOR_FIELD_NUMBER: _ClassVar[int]
    BLADES_MOVED_FIELD_NUMBER: _ClassVar[int]
    CHANGE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    DONE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    LATE_MINUTES_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    START_MINUTES_FIELD_NUMBER: _ClassVar[int]
    arbor: int
    blades_moved: int
    change_minutes: float
    done_minutes: float
    late_minutes: float
    order_id: str
    start_minutes: float
    def __init__(self, order_id: _Optional[str] = ..., arbor: _Optional[int] = ..., blades_moved: _Optional[int] = ..., change_minutes: _Optional[float] = ..., done_minutes: _Optional[float] = ..., late_minutes: _Optional[float] = ..., start_minutes: _Optional[float] = ...) -> None: ...
