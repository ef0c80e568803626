from ripwright.v1 import arbor_pb2 as _arbor_pb2
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

class BoardPattern(_message.Message):
    __slots__ = ["lot_id", "plan", "times"]
    LOT_ID_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    TIMES_FIELD_NUMBER: _ClassVar[int]
    lot_id: str
    plan: _plan_pb2.Plan
    times: int
    def __init__(self, lot_id: _Optional[str] = ..., times: _Optional[int] = ..., plan: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ...) -> None: ...

class PlanValuesRequest(_message.Message):
    __slots__ = ["currency", "lumber", "objective", "order", "relative_gap", "rules", "saw", "saw_name", "set_aside_loss", "time_limit_ms"]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    LUMBER_FIELD_NUMBER: _ClassVar[int]
    OBJECTIVE_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    RELATIVE_GAP_FIELD_NUMBER: _ClassVar[int]
    RULES_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_LOSS_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    currency: str
    lumber: _planning_pb2.Lumber
    objective: _planning_pb2.PlanObjective
    order: _order_pb2.CutOrder
    relative_gap: float
    rules: _containers.RepeatedCompositeFieldContainer[_planning_pb2.ValueRule]
    saw: _saw_pb2.Saw
    saw_name: str
    set_aside_loss: float
    time_limit_ms: float
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., lumber: _Optional[_Union[_planning_pb2.Lumber, _Mapping]] = ..., objective: _Optional[_Union[_planning_pb2.PlanObjective, str]] = ..., set_aside_loss: _Optional[float] = ..., relative_gap: _Optional[float] = ..., time_limit_ms: _Optional[float] = ..., rules: _Optional[_Iterable[_Union[_planning_pb2.ValueRule, _Mapping]]] = ..., currency: _Optional[str] = ...) -> None: ...

class PlanValuesResponse(_message.Message):
    __slots__ = ["arbor_fingerprint", "bound", "cost", "currency", "ended_by", "impossible", "late", "lots", "proven", "result", "rounds", "saw_fingerprint", "solve_time_us", "values", "warnings", "whole", "worth_per_cost"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOUND_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    IMPOSSIBLE_FIELD_NUMBER: _ClassVar[int]
    LATE_FIELD_NUMBER: _ClassVar[int]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    PROVEN_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    ROUNDS_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    WHOLE_FIELD_NUMBER: _ClassVar[int]
    WORTH_PER_COST_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    bound: float
    cost: float
    currency: str
    ended_by: _plan_pb2.EndedBy
    impossible: _containers.RepeatedCompositeFieldContainer[_planning_pb2.ImpossibleItem]
    late: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LateItem]
    lots: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LotUse]
    proven: bool
    result: _planning_pb2.PlanningResult
    rounds: int
    saw_fingerprint: str
    solve_time_us: float
    values: _containers.RepeatedCompositeFieldContainer[_planning_pb2.PlannedValue]
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    whole: WholePlan
    worth_per_cost: float
    def __init__(self, result: _Optional[_Union[_planning_pb2.PlanningResult, str]] = ..., values: _Optional[_Iterable[_Union[_planning_pb2.PlannedValue, _Mapping]]] = ..., cost: _Optional[float] = ..., bound: _Optional[float] = ..., proven: bool = ..., ended_by: _Optional[_Union[_plan_pb2.EndedBy, str]] = ..., worth_per_cost: _Optional[float] = ..., lots: _Optional[_Iterable[_Union[_planning_pb2.LotUse, _Mapping]]] = ..., impossible: _Optional[_Iterable[_Union[_planning_pb2.ImpossibleItem, _Mapping]]] = ..., late: _Optional[_Iterable[_Union[_planning_pb2.LateItem, _Mapping]]] = ..., whole: _Optional[_Union[WholePlan, _Mapping]] = ..., rounds: _Optional[int] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., solve_time_us: _Optional[float] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., currency: _Optional[str] = ...) -> None: ...

class WholePlan(_message.Message):
    __slots__ = ["boards", "cost", "filled", "patterns", "proven"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    FILLED_FIELD_NUMBER: _ClassVar[int]
    PATTERNS_FIELD_NUMBER: _ClassVar[int]
    PROVEN_FIELD_NUMBER: _ClassVar[int]
    boards: int
    cost: float
    filled: bool
    patterns: _containers.RepeatedCompositeFieldContainer[BoardPattern]
    proven: bool
    def __init__(self, patterns: _Optional[_Iterable[_Union[BoardPattern, _Mapping]]] = ..., boards: _Optional[int] = ..., cost: _Optional[float] = ..., proven: bool = ..., filled: bool = ...) -> None: ...
