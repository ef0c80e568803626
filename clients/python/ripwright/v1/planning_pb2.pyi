from ripwright.v1 import board_pb2 as _board_pb2
from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
IMPOSSIBLE_REASON_BOARDS: ImpossibleReason
IMPOSSIBLE_REASON_SAW: ImpossibleReason
IMPOSSIBLE_REASON_TOO_LONG: ImpossibleReason
IMPOSSIBLE_REASON_TOO_SHORT: ImpossibleReason
IMPOSSIBLE_REASON_TOO_WIDE: ImpossibleReason
IMPOSSIBLE_REASON_UNSPECIFIED: ImpossibleReason
PLANNING_RESULT_COMPLETE: PlanningResult
PLANNING_RESULT_IMPOSSIBLE: PlanningResult
PLANNING_RESULT_STOPPED: PlanningResult
PLANNING_RESULT_UNFINISHED: PlanningResult
PLANNING_RESULT_UNSPECIFIED: PlanningResult
PLANNING_RESULT_WITHOUT_IMPOSSIBLE: PlanningResult
PLAN_OBJECTIVE_BOARDS: PlanObjective
PLAN_OBJECTIVE_COST: PlanObjective
PLAN_OBJECTIVE_FACE: PlanObjective
PLAN_OBJECTIVE_UNSPECIFIED: PlanObjective

class BoardSpread(_message.Message):
    __slots__ = ["crook_mm", "defects", "lengths", "max_width_mm", "mean_width_mm", "min_width_mm", "near_edge_straight", "taper_mm", "thickness_mm", "width_sd_mm"]
    CROOK_MM_FIELD_NUMBER: _ClassVar[int]
    DEFECTS_FIELD_NUMBER: _ClassVar[int]
    LENGTHS_FIELD_NUMBER: _ClassVar[int]
    MAX_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    MEAN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    NEAR_EDGE_STRAIGHT_FIELD_NUMBER: _ClassVar[int]
    TAPER_MM_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_SD_MM_FIELD_NUMBER: _ClassVar[int]
    crook_mm: float
    defects: _containers.RepeatedCompositeFieldContainer[DefectRate]
    lengths: _containers.RepeatedCompositeFieldContainer[LengthShare]
    max_width_mm: float
    mean_width_mm: float
    min_width_mm: float
    near_edge_straight: bool
    taper_mm: float
    thickness_mm: float
    width_sd_mm: float
    def __init__(self, mean_width_mm: _Optional[float] = ..., width_sd_mm: _Optional[float] = ..., min_width_mm: _Optional[float] = ..., max_width_mm: _Optional[float] = ..., lengths: _Optional[_Iterable[_Union[LengthShare, _Mapping]]] = ..., crook_mm: _Optional[float] = ..., taper_mm: _Optional[float] = ..., thickness_mm: _Optional[float] = ..., near_edge_straight: bool = ..., defects: _Optional[_Iterable[_Union[DefectRate, _Mapping]]] = ...) -> None: ...

class CountedBoard(_message.Message):
    __slots__ = ["board", "count"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    COUNT_FIELD_NUMBER: _ClassVar[int]
    board: _board_pb2.Board
    count: int
    def __init__(self, board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., count: _Optional[int] = ...) -> None: ...

class DefectRate(_message.Message):
    __slots__ = ["kind", "max_length_mm", "max_width_mm", "min_length_mm", "min_width_mm", "per_m2"]
    KIND_FIELD_NUMBER: _ClassVar[int]
    MAX_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MAX_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    PER_M2_FIELD_NUMBER: _ClassVar[int]
    kind: str
    max_length_mm: float
    max_width_mm: float
    min_length_mm: float
    min_width_mm: float
    per_m2: float
    def __init__(self, kind: _Optional[str] = ..., per_m2: _Optional[float] = ..., min_length_mm: _Optional[float] = ..., max_length_mm: _Optional[float] = ..., min_width_mm: _Optional[float] = ..., max_width_mm: _Optional[float] = ...) -> None: ...

class ImpossibleItem(_message.Message):
    __slots__ = ["item_id", "length_mm", "reason", "says"]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    SAYS_FIELD_NUMBER: _ClassVar[int]
    item_id: str
    length_mm: float
    reason: ImpossibleReason
    says: str
    def __init__(self, item_id: _Optional[str] = ..., reason: _Optional[_Union[ImpossibleReason, str]] = ..., says: _Optional[str] = ..., length_mm: _Optional[float] = ...) -> None: ...

class LateItem(_message.Message):
    __slots__ = ["due_boards", "item_id", "min_boards"]
    DUE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    MIN_BOARDS_FIELD_NUMBER: _ClassVar[int]
    due_boards: int
    item_id: str
    min_boards: int
    def __init__(self, item_id: _Optional[str] = ..., due_boards: _Optional[int] = ..., min_boards: _Optional[int] = ...) -> None: ...

class LengthShare(_message.Message):
    __slots__ = ["length_mm", "share"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    SHARE_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    share: int
    def __init__(self, length_mm: _Optional[float] = ..., share: _Optional[int] = ...) -> None: ...

class ListedBoards(_message.Message):
    __slots__ = ["boards"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    boards: _containers.RepeatedCompositeFieldContainer[CountedBoard]
    def __init__(self, boards: _Optional[_Iterable[_Union[CountedBoard, _Mapping]]] = ...) -> None: ...

class Lot(_message.Message):
    __slots__ = ["listed", "lot_id", "price_per_mbf", "spread", "tagged"]
    LISTED_FIELD_NUMBER: _ClassVar[int]
    LOT_ID_FIELD_NUMBER: _ClassVar[int]
    PRICE_PER_MBF_FIELD_NUMBER: _ClassVar[int]
    SPREAD_FIELD_NUMBER: _ClassVar[int]
    TAGGED_FIELD_NUMBER: _ClassVar[int]
    listed: ListedBoards
    lot_id: str
    price_per_mbf: float
    spread: BoardSpread
    tagged: PackTag
    def __init__(self, lot_id: _Optional[str] = ..., price_per_mbf: _Optional[float] = ..., listed: _Optional[_Union[ListedBoards, _Mapping]] = ..., tagged: _Optional[_Union[PackTag, _Mapping]] = ..., spread: _Optional[_Union[BoardSpread, _Mapping]] = ...) -> None: ...

class LotUse(_message.Message):
    __slots__ = ["boards", "leave", "leaving_costs", "lot_id", "pack_saves", "set_aside"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    LEAVE_FIELD_NUMBER: _ClassVar[int]
    LEAVING_COSTS_FIELD_NUMBER: _ClassVar[int]
    LOT_ID_FIELD_NUMBER: _ClassVar[int]
    PACK_SAVES_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_FIELD_NUMBER: _ClassVar[int]
    boards: float
    leave: bool
    leaving_costs: float
    lot_id: str
    pack_saves: float
    set_aside: float
    def __init__(self, lot_id: _Optional[str] = ..., boards: _Optional[float] = ..., set_aside: _Optional[float] = ..., leaving_costs: _Optional[float] = ..., leave: bool = ..., pack_saves: _Optional[float] = ...) -> None: ...

class Lumber(_message.Message):
    __slots__ = ["lots", "sample_boards", "seed"]
    LOTS_FIELD_NUMBER: _ClassVar[int]
    SAMPLE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    lots: _containers.RepeatedCompositeFieldContainer[Lot]
    sample_boards: int
    seed: int
    def __init__(self, lots: _Optional[_Iterable[_Union[Lot, _Mapping]]] = ..., sample_boards: _Optional[int] = ..., seed: _Optional[int] = ...) -> None: ...

class PackTag(_message.Message):
    __slots__ = ["rows", "thickness_mm"]
    ROWS_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    rows: _containers.RepeatedCompositeFieldContainer[TagRow]
    thickness_mm: float
    def __init__(self, thickness_mm: _Optional[float] = ..., rows: _Optional[_Iterable[_Union[TagRow, _Mapping]]] = ...) -> None: ...

class PlannedLength(_message.Message):
    __slots__ = ["length_mm", "value"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    value: float
    def __init__(self, length_mm: _Optional[float] = ..., value: _Optional[float] = ...) -> None: ...

class PlannedValue(_message.Message):
    __slots__ = ["item_id", "lengths", "lumber_cost", "value", "value_per"]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    LENGTHS_FIELD_NUMBER: _ClassVar[int]
    LUMBER_COST_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    VALUE_PER_FIELD_NUMBER: _ClassVar[int]
    item_id: str
    lengths: _containers.RepeatedCompositeFieldContainer[PlannedLength]
    lumber_cost: float
    value: float
    value_per: _order_pb2.ValuePer
    def __init__(self, item_id: _Optional[str] = ..., value: _Optional[float] = ..., value_per: _Optional[_Union[_order_pb2.ValuePer, str]] = ..., lumber_cost: _Optional[float] = ..., lengths: _Optional[_Iterable[_Union[PlannedLength, _Mapping]]] = ...) -> None: ...

class TagRow(_message.Message):
    __slots__ = ["count", "length_mm", "width_mm"]
    COUNT_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    count: int
    length_mm: float
    width_mm: float
    def __init__(self, width_mm: _Optional[float] = ..., length_mm: _Optional[float] = ..., count: _Optional[int] = ...) -> None: ...

class ValueRule(_message.Message):
    __slots__ = ["item_id", "keep", "times"]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    KEEP_FIELD_NUMBER: _ClassVar[int]
    TIMES_FIELD_NUMBER: _ClassVar[int]
    item_id: str
    keep: bool
    times: float
    def __init__(self, item_id: _Optional[str] = ..., times: _Optional[float] = ..., keep: bool = ...) -> None: ...

class PlanObjective(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class ImpossibleReason(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class PlanningResult(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
