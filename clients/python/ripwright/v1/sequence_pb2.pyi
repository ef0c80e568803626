from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class ArborSetting(_message.Message):
    __slots__ = ["fixed_mm", "run_min"]
    FIXED_MM_FIELD_NUMBER: _ClassVar[int]
    RUN_MIN_FIELD_NUMBER: _ClassVar[int]
    fixed_mm: _containers.RepeatedScalarFieldContainer[float]
    run_min: float
    def __init__(self, fixed_mm: _Optional[_Iterable[float]] = ..., run_min: _Optional[float] = ...) -> None: ...

class ChangeTime(_message.Message):
    __slots__ = ["per_blade_min", "setup_min"]
    PER_BLADE_MIN_FIELD_NUMBER: _ClassVar[int]
    SETUP_MIN_FIELD_NUMBER: _ClassVar[int]
    per_blade_min: float
    setup_min: float
    def __init__(self, setup_min: _Optional[float] = ..., per_blade_min: _Optional[float] = ...) -> None: ...

class OrderSequence(_message.Message):
    __slots__ = ["change_min", "jobs", "late_min", "total_min"]
    CHANGE_MIN_FIELD_NUMBER: _ClassVar[int]
    JOBS_FIELD_NUMBER: _ClassVar[int]
    LATE_MIN_FIELD_NUMBER: _ClassVar[int]
    TOTAL_MIN_FIELD_NUMBER: _ClassVar[int]
    change_min: float
    jobs: _containers.RepeatedCompositeFieldContainer[SequencedJob]
    late_min: float
    total_min: float
    def __init__(self, jobs: _Optional[_Iterable[_Union[SequencedJob, _Mapping]]] = ..., change_min: _Optional[float] = ..., late_min: _Optional[float] = ..., total_min: _Optional[float] = ...) -> None: ...

class SequenceJob(_message.Message):
    __slots__ = ["arbors", "due_min", "order_id"]
    ARBORS_FIELD_NUMBER: _ClassVar[int]
    DUE_MIN_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    arbors: _containers.RepeatedCompositeFieldContainer[ArborSetting]
    due_min: float
    order_id: str
    def __init__(self, order_id: _Optional[str] = ..., arbors: _Optional[_Iterable[_Union[ArborSetting, _Mapping]]] = ..., due_min: _Optional[float] = ...) -> None: ...

class SequenceOrdersRequest(_message.Message):
    __slots__ = ["change", "current_mm", "jobs"]
    CHANGE_FIELD_NUMBER: _ClassVar[int]
    CURRENT_MM_FIELD_NUMBER: _ClassVar[int]
    JOBS_FIELD_NUMBER: _ClassVar[int]
    change: ChangeTime
    current_mm: _containers.RepeatedScalarFieldContainer[float]
    jobs: _containers.RepeatedCompositeFieldContainer[SequenceJob]
    def __init__(self, jobs: _Optional[_Iterable[_Union[SequenceJob, _Mapping]]] = ..., current_mm: _Optional[_Iterable[float]] = ..., change: _Optional[_Union[ChangeTime, _Mapping]] = ...) -> None: ...

class SequenceOrdersResponse(_message.Message):
    __slots__ = ["best", "change_bound_min", "given", "proven"]
    BEST_FIELD_NUMBER: _ClassVar[int]
    CHANGE_BOUND_MIN_FIELD_NUMBER: _ClassVar[int]
    GIVEN_FIELD_NUMBER: _ClassVar[int]
    PROVEN_FIELD_NUMBER: _ClassVar[int]
    best: OrderSequence
    change_bound_min: float
    given: OrderSequence
    proven: bool
    def __init__(self, best: _Optional[_Union[OrderSequence, _Mapping]] = ..., given: _Optional[_Union[OrderSequence, _Mapping]] = ..., proven: bool = ..., change_bound_min: _Optional[float] = ...) -> None: ...

class SequencedJob(_message.Message):
    __slots__ = ["arbor", "blades_moved", "change_min", "done_min", "late_min", "order_id"]
    ARBOR_FIELD_NUMBER: _ClassVar[int]
    BLADES_MOVED_FIELD_NUMBER: _ClassVar[int]
    CHANGE_MIN_FIELD_NUMBER: _ClassVar[int]
    DONE_MIN_FIELD_NUMBER: _ClassVar[int]
    LATE_MIN_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    arbor: int
    blades_moved: int
    change_min: float
    done_min: float
    late_min: float
    order_id: str
    def __init__(self, order_id: _Optional[str] = ..., arbor: _Optional[int] = ..., blades_moved: _Optional[int] = ..., change_min: _Optional[float] = ..., done_min: _Optional[float] = ..., late_min: _Optional[float] = ...) -> None: ...
