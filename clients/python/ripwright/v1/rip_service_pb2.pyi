from ripwright.v1 import board_pb2 as _board_pb2
from ripwright.v1 import line_pb2 as _line_pb2
from ripwright.v1 import options_pb2 as _options_pb2
from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import saw_pb2 as _saw_pb2
from ripwright.v1 import setting_pb2 as _setting_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
PICTURE_UNITS_INCH: PictureUnits
PICTURE_UNITS_METRIC: PictureUnits
PICTURE_UNITS_UNSPECIFIED: PictureUnits
SEARCH_PART_KIND_INTERVALS: SearchPartKind
SEARCH_PART_KIND_PREPARATION: SearchPartKind
SEARCH_PART_KIND_TABLES: SearchPartKind
SEARCH_PART_KIND_UNSPECIFIED: SearchPartKind

class CheckPlanRequest(_message.Message):
    __slots__ = ["board", "current_setting", "explain", "options", "order", "saw", "saw_name", "setting"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    CURRENT_SETTING_FIELD_NUMBER: _ClassVar[int]
    EXPLAIN_FIELD_NUMBER: _ClassVar[int]
    OPTIONS_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SETTING_FIELD_NUMBER: _ClassVar[int]
    board: _board_pb2.Board
    current_setting: _setting_pb2.Setting
    explain: bool
    options: _options_pb2.SolveOptions
    order: _order_pb2.CutOrder
    saw: _saw_pb2.Saw
    saw_name: str
    setting: _setting_pb2.Setting
    def __init__(self, board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., current_setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., options: _Optional[_Union[_options_pb2.SolveOptions, _Mapping]] = ..., setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., explain: bool = ...) -> None: ...

class CheckPlanResponse(_message.Message):
    __slots__ = ["arbor_fingerprint", "board_id", "broken_rules", "distance", "explanation", "fills", "optimum", "plan", "proof", "saw_fingerprint", "solve_time_us", "warnings"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    BROKEN_RULES_FIELD_NUMBER: _ClassVar[int]
    DISTANCE_FIELD_NUMBER: _ClassVar[int]
    EXPLANATION_FIELD_NUMBER: _ClassVar[int]
    FILLS_FIELD_NUMBER: _ClassVar[int]
    OPTIMUM_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    PROOF_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    board_id: str
    broken_rules: _containers.RepeatedCompositeFieldContainer[_plan_pb2.BrokenRule]
    distance: float
    explanation: Explanation
    fills: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Fill]
    optimum: _plan_pb2.Plan
    plan: _plan_pb2.Plan
    proof: _plan_pb2.Proof
    saw_fingerprint: str
    solve_time_us: float
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    def __init__(self, board_id: _Optional[str] = ..., plan: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ..., broken_rules: _Optional[_Iterable[_Union[_plan_pb2.BrokenRule, _Mapping]]] = ..., optimum: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ..., distance: _Optional[float] = ..., proof: _Optional[_Union[_plan_pb2.Proof, _Mapping]] = ..., fills: _Optional[_Iterable[_Union[_plan_pb2.Fill, _Mapping]]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., solve_time_us: _Optional[float] = ..., explanation: _Optional[_Union[Explanation, _Mapping]] = ...) -> None: ...

class ConfirmCutRequest(_message.Message):
    __slots__ = ["board", "confirmation_id", "detail", "order", "outcome", "saw", "saw_name", "strips"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    CONFIRMATION_ID_FIELD_NUMBER: _ClassVar[int]
    DETAIL_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    OUTCOME_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    STRIPS_FIELD_NUMBER: _ClassVar[int]
    board: _board_pb2.Board
    confirmation_id: str
    detail: _options_pb2.AnswerDetail
    order: _order_pb2.CutOrder
    outcome: _line_pb2.CutOutcome
    saw: _saw_pb2.Saw
    saw_name: str
    strips: _containers.RepeatedCompositeFieldContainer[_line_pb2.CutStrip]
    def __init__(self, confirmation_id: _Optional[str] = ..., board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., outcome: _Optional[_Union[_line_pb2.CutOutcome, str]] = ..., strips: _Optional[_Iterable[_Union[_line_pb2.CutStrip, _Mapping]]] = ..., detail: _Optional[_Union[_options_pb2.AnswerDetail, _Mapping]] = ...) -> None: ...

class ConfirmCutResponse(_message.Message):
    __slots__ = ["fills", "result", "yield_ratio"]
    FILLS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    YIELD_RATIO_FIELD_NUMBER: _ClassVar[int]
    fills: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Fill]
    result: _plan_pb2.ConfirmationResult
    yield_ratio: float
    def __init__(self, fills: _Optional[_Iterable[_Union[_plan_pb2.Fill, _Mapping]]] = ..., result: _Optional[_Union[_plan_pb2.ConfirmationResult, str]] = ..., yield_ratio: _Optional[float] = ...) -> None: ...

class DrawPlanRequest(_message.Message):
    __slots__ = ["board", "current_setting", "options", "order", "saw", "saw_name", "setting", "units"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    CURRENT_SETTING_FIELD_NUMBER: _ClassVar[int]
    OPTIONS_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    SETTING_FIELD_NUMBER: _ClassVar[int]
    UNITS_FIELD_NUMBER: _ClassVar[int]
    board: _board_pb2.Board
    current_setting: _setting_pb2.Setting
    options: _options_pb2.SolveOptions
    order: _order_pb2.CutOrder
    saw: _saw_pb2.Saw
    saw_name: str
    setting: _setting_pb2.Setting
    units: PictureUnits
    def __init__(self, board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., current_setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., options: _Optional[_Union[_options_pb2.SolveOptions, _Mapping]] = ..., setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., units: _Optional[_Union[PictureUnits, str]] = ...) -> None: ...

class DrawPlanResponse(_message.Message):
    __slots__ = ["arbor_fingerprint", "board_id", "broken_rules", "plan", "proof", "saw_fingerprint", "solve_time_us", "svg", "warnings"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    BROKEN_RULES_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    PROOF_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    SVG_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    board_id: str
    broken_rules: _containers.RepeatedCompositeFieldContainer[_plan_pb2.BrokenRule]
    plan: _plan_pb2.Plan
    proof: _plan_pb2.Proof
    saw_fingerprint: str
    solve_time_us: float
    svg: str
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    def __init__(self, board_id: _Optional[str] = ..., svg: _Optional[str] = ..., plan: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ..., proof: _Optional[_Union[_plan_pb2.Proof, _Mapping]] = ..., broken_rules: _Optional[_Iterable[_Union[_plan_pb2.BrokenRule, _Mapping]]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., solve_time_us: _Optional[float] = ...) -> None: ...

class Explanation(_message.Message):
    __slots__ = ["items", "offcuts_fed_again", "saw_time", "search"]
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    OFFCUTS_FED_AGAIN_FIELD_NUMBER: _ClassVar[int]
    SAW_TIME_FIELD_NUMBER: _ClassVar[int]
    SEARCH_FIELD_NUMBER: _ClassVar[int]
    items: _containers.RepeatedCompositeFieldContainer[ItemDifference]
    offcuts_fed_again: float
    saw_time: float
    search: _containers.RepeatedCompositeFieldContainer[SearchPart]
    def __init__(self, items: _Optional[_Iterable[_Union[ItemDifference, _Mapping]]] = ..., offcuts_fed_again: _Optional[float] = ..., saw_time: _Optional[float] = ..., search: _Optional[_Iterable[_Union[SearchPart, _Mapping]]] = ...) -> None: ...

class ItemDifference(_message.Message):
    __slots__ = ["difference", "item_id", "optimum_widths_mm", "optimum_worth", "setting_widths_mm", "setting_worth"]
    DIFFERENCE_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    OPTIMUM_WIDTHS_MM_FIELD_NUMBER: _ClassVar[int]
    OPTIMUM_WORTH_FIELD_NUMBER: _ClassVar[int]
    SETTING_WIDTHS_MM_FIELD_NUMBER: _ClassVar[int]
    SETTING_WORTH_FIELD_NUMBER: _ClassVar[int]
    difference: float
    item_id: str
    optimum_widths_mm: _containers.RepeatedScalarFieldContainer[float]
    optimum_worth: float
    setting_widths_mm: _containers.RepeatedScalarFieldContainer[float]
    setting_worth: float
    def __init__(self, item_id: _Optional[str] = ..., setting_widths_mm: _Optional[_Iterable[float]] = ..., setting_worth: _Optional[float] = ..., optimum_widths_mm: _Optional[_Iterable[float]] = ..., optimum_worth: _Optional[float] = ..., difference: _Optional[float] = ...) -> None: ...

class SearchPart(_message.Message):
    __slots__ = ["best", "bound", "kind", "time_us", "times", "work"]
    BEST_FIELD_NUMBER: _ClassVar[int]
    BOUND_FIELD_NUMBER: _ClassVar[int]
    KIND_FIELD_NUMBER: _ClassVar[int]
    TIMES_FIELD_NUMBER: _ClassVar[int]
    TIME_US_FIELD_NUMBER: _ClassVar[int]
    WORK_FIELD_NUMBER: _ClassVar[int]
    best: float
    bound: float
    kind: SearchPartKind
    time_us: float
    times: int
    work: float
    def __init__(self, kind: _Optional[_Union[SearchPartKind, str]] = ..., times: _Optional[int] = ..., work: _Optional[float] = ..., time_us: _Optional[float] = ..., best: _Optional[float] = ..., bound: _Optional[float] = ...) -> None: ...

class SolveBoardRequest(_message.Message):
    __slots__ = ["board", "current_setting", "options", "order", "saw", "saw_name"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    CURRENT_SETTING_FIELD_NUMBER: _ClassVar[int]
    OPTIONS_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    board: _board_pb2.Board
    current_setting: _setting_pb2.Setting
    options: _options_pb2.SolveOptions
    order: _order_pb2.CutOrder
    saw: _saw_pb2.Saw
    saw_name: str
    def __init__(self, board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., current_setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., options: _Optional[_Union[_options_pb2.SolveOptions, _Mapping]] = ...) -> None: ...

class SolveBoardResponse(_message.Message):
    __slots__ = ["arbor_fingerprint", "board_id", "cycle", "fills", "plan", "proof", "runners_up", "saw_fingerprint", "solve_time_us", "warnings"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    CYCLE_FIELD_NUMBER: _ClassVar[int]
    FILLS_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    PROOF_FIELD_NUMBER: _ClassVar[int]
    RUNNERS_UP_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    board_id: str
    cycle: _line_pb2.Cycle
    fills: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Fill]
    plan: _plan_pb2.Plan
    proof: _plan_pb2.Proof
    runners_up: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Plan]
    saw_fingerprint: str
    solve_time_us: float
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    def __init__(self, board_id: _Optional[str] = ..., plan: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ..., runners_up: _Optional[_Iterable[_Union[_plan_pb2.Plan, _Mapping]]] = ..., proof: _Optional[_Union[_plan_pb2.Proof, _Mapping]] = ..., fills: _Optional[_Iterable[_Union[_plan_pb2.Fill, _Mapping]]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., cycle: _Optional[_Union[_line_pb2.Cycle, _Mapping]] = ..., solve_time_us: _Optional[float] = ...) -> None: ...

class SearchPartKind(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class PictureUnits(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
