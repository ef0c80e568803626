from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import planning_pb2 as _planning_pb2
from ripwright.v1 import saw_pb2 as _saw_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
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

class BuyList(_message.Message):
    __slots__ = ["lots"]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    lots: _containers.RepeatedCompositeFieldContainer[LotStock]
    def __init__(self, lots: _Optional[_Iterable[_Union[LotStock, _Mapping]]] = ...) -> None: ...

class Estimate(_message.Message):
    __slots__ = ["level", "lower", "mean", "trials", "upper"]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    LOWER_FIELD_NUMBER: _ClassVar[int]
    MEAN_FIELD_NUMBER: _ClassVar[int]
    TRIALS_FIELD_NUMBER: _ClassVar[int]
    UPPER_FIELD_NUMBER: _ClassVar[int]
    level: float
    lower: float
    mean: float
    trials: int
    upper: float
    def __init__(self, mean: _Optional[float] = ..., lower: _Optional[float] = ..., upper: _Optional[float] = ..., level: _Optional[float] = ..., trials: _Optional[int] = ...) -> None: ...

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

class LotOutcome(_message.Message):
    __slots__ = ["board_feet", "boards", "cost", "lot_id"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    LOT_ID_FIELD_NUMBER: _ClassVar[int]
    board_feet: Estimate
    boards: Estimate
    cost: Estimate
    lot_id: str
    def __init__(self, lot_id: _Optional[str] = ..., boards: _Optional[_Union[Estimate, _Mapping]] = ..., board_feet: _Optional[_Union[Estimate, _Mapping]] = ..., cost: _Optional[_Union[Estimate, _Mapping]] = ...) -> None: ...

class LotStock(_message.Message):
    __slots__ = ["lot_id", "max_boards", "pack_boards"]
    LOT_ID_FIELD_NUMBER: _ClassVar[int]
    MAX_BOARDS_FIELD_NUMBER: _ClassVar[int]
    PACK_BOARDS_FIELD_NUMBER: _ClassVar[int]
    lot_id: str
    max_boards: int
    pack_boards: int
    def __init__(self, lot_id: _Optional[str] = ..., max_boards: _Optional[int] = ..., pack_boards: _Optional[int] = ...) -> None: ...

class QuoteOrderRequest(_message.Message):
    __slots__ = ["buy_list", "compare", "currency", "level", "lumber", "max_boards", "more_orders", "objective", "order", "pace", "replan_every_boards", "saw", "saw_name", "scrap", "set_aside_loss", "simulations", "time_limit_ms", "values"]
    BUY_LIST_FIELD_NUMBER: _ClassVar[int]
    COMPARE_FIELD_NUMBER: _ClassVar[int]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    LUMBER_FIELD_NUMBER: _ClassVar[int]
    MAX_BOARDS_FIELD_NUMBER: _ClassVar[int]
    MORE_ORDERS_FIELD_NUMBER: _ClassVar[int]
    OBJECTIVE_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    PACE_FIELD_NUMBER: _ClassVar[int]
    REPLAN_EVERY_BOARDS_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SCRAP_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_LOSS_FIELD_NUMBER: _ClassVar[int]
    SIMULATIONS_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    buy_list: BuyList
    compare: _containers.RepeatedScalarFieldContainer[ValueChoice]
    currency: str
    level: float
    lumber: _planning_pb2.Lumber
    max_boards: int
    more_orders: _containers.RepeatedCompositeFieldContainer[_order_pb2.CutOrder]
    objective: _planning_pb2.PlanObjective
    order: _order_pb2.CutOrder
    pace: SawPace
    replan_every_boards: int
    saw: _saw_pb2.Saw
    saw_name: str
    scrap: _containers.RepeatedCompositeFieldContainer[ScrapAllowance]
    set_aside_loss: float
    simulations: int
    time_limit_ms: float
    values: ValueChoice
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., lumber: _Optional[_Union[_planning_pb2.Lumber, _Mapping]] = ..., objective: _Optional[_Union[_planning_pb2.PlanObjective, str]] = ..., set_aside_loss: _Optional[float] = ..., values: _Optional[_Union[ValueChoice, str]] = ..., compare: _Optional[_Iterable[_Union[ValueChoice, str]]] = ..., pace: _Optional[_Union[SawPace, _Mapping]] = ..., scrap: _Optional[_Iterable[_Union[ScrapAllowance, _Mapping]]] = ..., simulations: _Optional[int] = ..., level: _Optional[float] = ..., max_boards: _Optional[int] = ..., replan_every_boards: _Optional[int] = ..., time_limit_ms: _Optional[float] = ..., buy_list: _Optional[_Union[BuyList, _Mapping]] = ..., more_orders: _Optional[_Iterable[_Union[_order_pb2.CutOrder, _Mapping]]] = ..., currency: _Optional[str] = ...) -> None: ...

class QuoteOrderResponse(_message.Message):
    __slots__ = ["advice", "advised", "arbor_fingerprint", "bound", "cost", "currency", "ended_by", "impossible", "late", "left_undone", "lots", "others", "quote", "result", "saw_fingerprint", "solve_time_us", "warnings", "whole_boards", "whole_cost"]
    ADVICE_FIELD_NUMBER: _ClassVar[int]
    ADVISED_FIELD_NUMBER: _ClassVar[int]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOUND_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    IMPOSSIBLE_FIELD_NUMBER: _ClassVar[int]
    LATE_FIELD_NUMBER: _ClassVar[int]
    LEFT_UNDONE_FIELD_NUMBER: _ClassVar[int]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    OTHERS_FIELD_NUMBER: _ClassVar[int]
    QUOTE_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    WHOLE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    WHOLE_COST_FIELD_NUMBER: _ClassVar[int]
    advice: str
    advised: ValueChoice
    arbor_fingerprint: str
    bound: float
    cost: float
    currency: str
    ended_by: _plan_pb2.EndedBy
    impossible: _containers.RepeatedCompositeFieldContainer[_planning_pb2.ImpossibleItem]
    late: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LateItem]
    left_undone: str
    lots: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LotUse]
    others: _containers.RepeatedCompositeFieldContainer[QuoteOutcome]
    quote: QuoteOutcome
    result: _planning_pb2.PlanningResult
    saw_fingerprint: str
    solve_time_us: float
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    whole_boards: int
    whole_cost: float
    def __init__(self, result: _Optional[_Union[_planning_pb2.PlanningResult, str]] = ..., quote: _Optional[_Union[QuoteOutcome, _Mapping]] = ..., others: _Optional[_Iterable[_Union[QuoteOutcome, _Mapping]]] = ..., cost: _Optional[float] = ..., bound: _Optional[float] = ..., lots: _Optional[_Iterable[_Union[_planning_pb2.LotUse, _Mapping]]] = ..., impossible: _Optional[_Iterable[_Union[_planning_pb2.ImpossibleItem, _Mapping]]] = ..., late: _Optional[_Iterable[_Union[_planning_pb2.LateItem, _Mapping]]] = ..., ended_by: _Optional[_Union[_plan_pb2.EndedBy, str]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., solve_time_us: _Optional[float] = ..., left_undone: _Optional[str] = ..., advised: _Optional[_Union[ValueChoice, str]] = ..., advice: _Optional[str] = ..., whole_boards: _Optional[int] = ..., whole_cost: _Optional[float] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., currency: _Optional[str] = ...) -> None: ...

class QuoteOutcome(_message.Message):
    __slots__ = ["board_feet", "boards", "cost", "face_m2", "items", "lots", "rerip_m2", "rerip_worth", "result", "saw_hours", "set_aside_boards", "shifts", "simulation_costs", "simulations", "unfinished", "values", "yield_ratio"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    FACE_M2_FIELD_NUMBER: _ClassVar[int]
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    RERIP_M2_FIELD_NUMBER: _ClassVar[int]
    RERIP_WORTH_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    SAW_HOURS_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    SHIFTS_FIELD_NUMBER: _ClassVar[int]
    SIMULATIONS_FIELD_NUMBER: _ClassVar[int]
    SIMULATION_COSTS_FIELD_NUMBER: _ClassVar[int]
    UNFINISHED_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    YIELD_RATIO_FIELD_NUMBER: _ClassVar[int]
    board_feet: Estimate
    boards: Estimate
    cost: Estimate
    face_m2: Estimate
    items: _containers.RepeatedCompositeFieldContainer[ItemOutcome]
    lots: _containers.RepeatedCompositeFieldContainer[LotOutcome]
    rerip_m2: Estimate
    rerip_worth: Estimate
    result: _planning_pb2.PlanningResult
    saw_hours: Estimate
    set_aside_boards: Estimate
    shifts: Estimate
    simulation_costs: _containers.RepeatedScalarFieldContainer[float]
    simulations: int
    unfinished: int
    values: ValueChoice
    yield_ratio: Estimate
    def __init__(self, values: _Optional[_Union[ValueChoice, str]] = ..., result: _Optional[_Union[_planning_pb2.PlanningResult, str]] = ..., simulations: _Optional[int] = ..., unfinished: _Optional[int] = ..., boards: _Optional[_Union[Estimate, _Mapping]] = ..., board_feet: _Optional[_Union[Estimate, _Mapping]] = ..., face_m2: _Optional[_Union[Estimate, _Mapping]] = ..., cost: _Optional[_Union[Estimate, _Mapping]] = ..., yield_ratio: _Optional[_Union[Estimate, _Mapping]] = ..., saw_hours: _Optional[_Union[Estimate, _Mapping]] = ..., shifts: _Optional[_Union[Estimate, _Mapping]] = ..., set_aside_boards: _Optional[_Union[Estimate, _Mapping]] = ..., rerip_m2: _Optional[_Union[Estimate, _Mapping]] = ..., rerip_worth: _Optional[_Union[Estimate, _Mapping]] = ..., simulation_costs: _Optional[_Iterable[float]] = ..., items: _Optional[_Iterable[_Union[ItemOutcome, _Mapping]]] = ..., lots: _Optional[_Iterable[_Union[LotOutcome, _Mapping]]] = ...) -> None: ...

class QuoteProgress(_message.Message):
    __slots__ = ["ended", "simulations"]
    ENDED_FIELD_NUMBER: _ClassVar[int]
    SIMULATIONS_FIELD_NUMBER: _ClassVar[int]
    ended: int
    simulations: int
    def __init__(self, ended: _Optional[int] = ..., simulations: _Optional[int] = ...) -> None: ...

class SawPace(_message.Message):
    __slots__ = ["feed_m_per_min", "handling_s", "positioning_mm_per_s", "shift_hours"]
    FEED_M_PER_MIN_FIELD_NUMBER: _ClassVar[int]
    HANDLING_S_FIELD_NUMBER: _ClassVar[int]
    POSITIONING_MM_PER_S_FIELD_NUMBER: _ClassVar[int]
    SHIFT_HOURS_FIELD_NUMBER: _ClassVar[int]
    feed_m_per_min: float
    handling_s: float
    positioning_mm_per_s: float
    shift_hours: float
    def __init__(self, feed_m_per_min: _Optional[float] = ..., positioning_mm_per_s: _Optional[float] = ..., handling_s: _Optional[float] = ..., shift_hours: _Optional[float] = ...) -> None: ...

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
