from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import planning_pb2 as _planning_pb2
from ripwright.v1 import saw_pb2 as _saw_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
VALUE_CHOICE_OWN: ValueChoice
VALUE_CHOICE_PLANNED: ValueChoice
VALUE_CHOICE_UNSPECIFIED: ValueChoice
VALUE_CHOICE_YIELD: ValueChoice

class Estimate(_message.Message):
    __slots__ = ["expected", "high", "low"]
    EXPECTED_FIELD_NUMBER: _ClassVar[int]
    HIGH_FIELD_NUMBER: _ClassVar[int]
    LOW_FIELD_NUMBER: _ClassVar[int]
    expected: float
    high: float
    low: float
    def __init__(self, expected: _Optional[float] = ..., low: _Optional[float] = ..., high: _Optional[float] = ...) -> None: ...

class ItemOutcome(_message.Message):
    __slots__ = ["by_due", "fill", "filled_at_board", "holds_open", "item_id", "length_mm", "made"]
    BY_DUE_FIELD_NUMBER: _ClassVar[int]
    FILLED_AT_BOARD_FIELD_NUMBER: _ClassVar[int]
    FILL_FIELD_NUMBER: _ClassVar[int]
    HOLDS_OPEN_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MADE_FIELD_NUMBER: _ClassVar[int]
    by_due: float
    fill: _containers.RepeatedScalarFieldContainer[float]
    filled_at_board: Estimate
    holds_open: float
    item_id: str
    length_mm: float
    made: Estimate
    def __init__(self, item_id: _Optional[str] = ..., length_mm: _Optional[float] = ..., made: _Optional[_Union[Estimate, _Mapping]] = ..., filled_at_board: _Optional[_Union[Estimate, _Mapping]] = ..., holds_open: _Optional[float] = ..., fill: _Optional[_Iterable[float]] = ..., by_due: _Optional[float] = ...) -> None: ...

class QuoteOrderRequest(_message.Message):
    __slots__ = ["compare", "level", "lumber", "most_boards", "objective", "order", "pace", "replan_boards", "runs", "saw", "saw_name", "scrap", "set_aside_loss", "time_limit_ms", "values"]
    COMPARE_FIELD_NUMBER: _ClassVar[int]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    LUMBER_FIELD_NUMBER: _ClassVar[int]
    MOST_BOARDS_FIELD_NUMBER: _ClassVar[int]
    OBJECTIVE_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    PACE_FIELD_NUMBER: _ClassVar[int]
    REPLAN_BOARDS_FIELD_NUMBER: _ClassVar[int]
    RUNS_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SCRAP_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_LOSS_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    compare: bool
    level: float
    lumber: _planning_pb2.Lumber
    most_boards: int
    objective: _planning_pb2.PlanObjective
    order: _order_pb2.CutOrder
    pace: SawPace
    replan_boards: int
    runs: int
    saw: _saw_pb2.Saw
    saw_name: str
    scrap: _containers.RepeatedCompositeFieldContainer[ScrapAllowance]
    set_aside_loss: float
    time_limit_ms: float
    values: ValueChoice
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., lumber: _Optional[_Union[_planning_pb2.Lumber, _Mapping]] = ..., objective: _Optional[_Union[_planning_pb2.PlanObjective, str]] = ..., set_aside_loss: _Optional[float] = ..., values: _Optional[_Union[ValueChoice, str]] = ..., compare: bool = ..., pace: _Optional[_Union[SawPace, _Mapping]] = ..., scrap: _Optional[_Iterable[_Union[ScrapAllowance, _Mapping]]] = ..., runs: _Optional[int] = ..., level: _Optional[float] = ..., most_boards: _Optional[int] = ..., replan_boards: _Optional[int] = ..., time_limit_ms: _Optional[float] = ...) -> None: ...

class QuoteOrderResponse(_message.Message):
    __slots__ = ["bound", "ended_by", "impossible", "late", "least_cost", "lots", "others", "quote", "quote_time_us", "saw_fingerprint"]
    BOUND_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    IMPOSSIBLE_FIELD_NUMBER: _ClassVar[int]
    LATE_FIELD_NUMBER: _ClassVar[int]
    LEAST_COST_FIELD_NUMBER: _ClassVar[int]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    OTHERS_FIELD_NUMBER: _ClassVar[int]
    QUOTE_FIELD_NUMBER: _ClassVar[int]
    QUOTE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    bound: float
    ended_by: _plan_pb2.EndedBy
    impossible: _containers.RepeatedCompositeFieldContainer[_planning_pb2.ImpossibleItem]
    late: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LateItem]
    least_cost: float
    lots: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LotUse]
    others: _containers.RepeatedCompositeFieldContainer[QuoteOutcome]
    quote: QuoteOutcome
    quote_time_us: float
    saw_fingerprint: str
    def __init__(self, quote: _Optional[_Union[QuoteOutcome, _Mapping]] = ..., others: _Optional[_Iterable[_Union[QuoteOutcome, _Mapping]]] = ..., bound: _Optional[float] = ..., least_cost: _Optional[float] = ..., lots: _Optional[_Iterable[_Union[_planning_pb2.LotUse, _Mapping]]] = ..., impossible: _Optional[_Iterable[_Union[_planning_pb2.ImpossibleItem, _Mapping]]] = ..., ended_by: _Optional[_Union[_plan_pb2.EndedBy, str]] = ..., saw_fingerprint: _Optional[str] = ..., quote_time_us: _Optional[float] = ..., late: _Optional[_Iterable[_Union[_planning_pb2.LateItem, _Mapping]]] = ...) -> None: ...

class QuoteOutcome(_message.Message):
    __slots__ = ["board_feet", "boards", "cost", "face_m2", "items", "rerip_m2", "rerip_worth", "run_costs", "runs", "saw_hours", "set_aside_boards", "shifts", "unfinished", "values"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    FACE_M2_FIELD_NUMBER: _ClassVar[int]
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    RERIP_M2_FIELD_NUMBER: _ClassVar[int]
    RERIP_WORTH_FIELD_NUMBER: _ClassVar[int]
    RUNS_FIELD_NUMBER: _ClassVar[int]
    RUN_COSTS_FIELD_NUMBER: _ClassVar[int]
    SAW_HOURS_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    SHIFTS_FIELD_NUMBER: _ClassVar[int]
    UNFINISHED_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    YIELD_FIELD_NUMBER: _ClassVar[int]
    board_feet: Estimate
    boards: Estimate
    cost: Estimate
    face_m2: Estimate
    items: _containers.RepeatedCompositeFieldContainer[ItemOutcome]
    rerip_m2: Estimate
    rerip_worth: Estimate
    run_costs: _containers.RepeatedScalarFieldContainer[float]
    runs: int
    saw_hours: Estimate
    set_aside_boards: Estimate
    shifts: Estimate
    unfinished: int
    values: ValueChoice
    def __init__(self, values: _Optional[_Union[ValueChoice, str]] = ..., boards: _Optional[_Union[Estimate, _Mapping]] = ..., board_feet: _Optional[_Union[Estimate, _Mapping]] = ..., face_m2: _Optional[_Union[Estimate, _Mapping]] = ..., cost: _Optional[_Union[Estimate, _Mapping]] = ..., saw_hours: _Optional[_Union[Estimate, _Mapping]] = ..., shifts: _Optional[_Union[Estimate, _Mapping]] = ..., set_aside_boards: _Optional[_Union[Estimate, _Mapping]] = ..., items: _Optional[_Iterable[_Union[ItemOutcome, _Mapping]]] = ..., runs: _Optional[int] = ..., unfinished: _Optional[int] = ..., rerip_m2: _Optional[_Union[Estimate, _Mapping]] = ..., rerip_worth: _Optional[_Union[Estimate, _Mapping]] = ..., run_costs: _Optional[_Iterable[float]] = ..., **kwargs) -> None: ...

class QuoteProgress(_message.Message):
    __slots__ = ["of", "runs"]
    OF_FIELD_NUMBER: _ClassVar[int]
    RUNS_FIELD_NUMBER: _ClassVar[int]
    of: int
    runs: int
    def __init__(self, runs: _Optional[int] = ..., of: _Optional[int] = ...) -> None: ...

class SawPace(_message.Message):
    __slots__ = ["feed_m_per_min", "handling_s_per_board", "positioning_mm_per_s", "shift_hours"]
    FEED_M_PER_MIN_FIELD_NUMBER: _ClassVar[int]
    HANDLING_S_PER_BOARD_FIELD_NUMBER: _ClassVar[int]
    POSITIONING_MM_PER_S_FIELD_NUMBER: _ClassVar[int]
    SHIFT_HOURS_FIELD_NUMBER: _ClassVar[int]
    feed_m_per_min: float
    handling_s_per_board: float
    positioning_mm_per_s: float
    shift_hours: float
    def __init__(self, feed_m_per_min: _Optional[float] = ..., positioning_mm_per_s: _Optional[float] = ..., handling_s_per_board: _Optional[float] = ..., shift_hours: _Optional[float] = ...) -> None: ...

class ScrapAllowance(_message.Message):
    __slots__ = ["fraction", "item_id"]
    FRACTION_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    fraction: float
    item_id: str
    def __init__(self, item_id: _Optional[str] = ..., fraction: _Optional[float] = ...) -> None: ...

class WatchQuoteRequest(_message.Message):
    __slots__ = ["quote"]
    QUOTE_FIELD_NUMBER: _ClassVar[int]
    quote: QuoteOrderRequest
    def __init__(self, quote: _Optional[_Union[QuoteOrderRequest, _Mapping]] = ...) -> None: ...

class WatchQuoteResponse(_message.Message):
    __slots__ = ["progress", "quote"]
    PROGRESS_FIELD_NUMBER: _ClassVar[int]
    QUOTE_FIELD_NUMBER: _ClassVar[int]
    progress: QuoteProgress
    quote: QuoteOrderResponse
    def __init__(self, progress: _Optional[_Union[QuoteProgress, _Mapping]] = ..., quote: _Optional[_Union[QuoteOrderResponse, _Mapping]] = ...) -> None: ...

class ValueChoice(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
