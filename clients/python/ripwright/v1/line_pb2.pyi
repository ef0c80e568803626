from ripwright.v1 import board_pb2 as _board_pb2
from ripwright.v1 import error_pb2 as _error_pb2
from ripwright.v1 import options_pb2 as _options_pb2
from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import plan_pb2 as _plan_pb2
from ripwright.v1 import planning_pb2 as _planning_pb2
from ripwright.v1 import saw_pb2 as _saw_pb2
from ripwright.v1 import setting_pb2 as _setting_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

AXIS_BLADE: Axis
AXIS_FENCE: Axis
AXIS_SKEW: Axis
AXIS_UNSPECIFIED: Axis
CUT_OUTCOME_AS_MEASURED: CutOutcome
CUT_OUTCOME_AS_PLANNED: CutOutcome
CUT_OUTCOME_NOT_CUT: CutOutcome
CUT_OUTCOME_RUNNER_UP: CutOutcome
CUT_OUTCOME_SENT_BACK: CutOutcome
CUT_OUTCOME_SET_ASIDE: CutOutcome
CUT_OUTCOME_SOMETHING_ELSE: CutOutcome
CUT_OUTCOME_UNSPECIFIED: CutOutcome
CYCLE_LIMIT_FEED: CycleLimit
CYCLE_LIMIT_HANDLING: CycleLimit
CYCLE_LIMIT_POSITIONING: CycleLimit
CYCLE_LIMIT_UNSPECIFIED: CycleLimit
DESCRIPTOR: _descriptor.FileDescriptor
LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT: LineRefusalReason
LINE_REFUSAL_REASON_BUSY: LineRefusalReason
LINE_REFUSAL_REASON_INVALID: LineRefusalReason
LINE_REFUSAL_REASON_OUTSIDE_SAW_LIMITS: LineRefusalReason
LINE_REFUSAL_REASON_PLAN_WITHHELD: LineRefusalReason
LINE_REFUSAL_REASON_STATE_TOO_LARGE: LineRefusalReason
LINE_REFUSAL_REASON_TOO_LATE: LineRefusalReason
LINE_REFUSAL_REASON_UNKNOWN_SAW: LineRefusalReason
LINE_REFUSAL_REASON_UNSPECIFIED: LineRefusalReason

class CutConfirmation(_message.Message):
    __slots__ = ["board_sequence", "outcome", "runner_up", "strips"]
    BOARD_SEQUENCE_FIELD_NUMBER: _ClassVar[int]
    OUTCOME_FIELD_NUMBER: _ClassVar[int]
    RUNNER_UP_FIELD_NUMBER: _ClassVar[int]
    STRIPS_FIELD_NUMBER: _ClassVar[int]
    board_sequence: int
    outcome: CutOutcome
    runner_up: int
    strips: _containers.RepeatedCompositeFieldContainer[CutStrip]
    def __init__(self, board_sequence: _Optional[int] = ..., outcome: _Optional[_Union[CutOutcome, str]] = ..., runner_up: _Optional[int] = ..., strips: _Optional[_Iterable[_Union[CutStrip, _Mapping]]] = ...) -> None: ...

class CutLine(_message.Message):
    __slots__ = ["blade", "end_mm", "kerf_mm", "start_mm"]
    BLADE_FIELD_NUMBER: _ClassVar[int]
    END_MM_FIELD_NUMBER: _ClassVar[int]
    KERF_MM_FIELD_NUMBER: _ClassVar[int]
    START_MM_FIELD_NUMBER: _ClassVar[int]
    blade: int
    end_mm: float
    kerf_mm: float
    start_mm: float
    def __init__(self, blade: _Optional[int] = ..., start_mm: _Optional[float] = ..., end_mm: _Optional[float] = ..., kerf_mm: _Optional[float] = ...) -> None: ...

class CutPieces(_message.Message):
    __slots__ = ["count", "length_mm"]
    COUNT_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    count: int
    length_mm: float
    def __init__(self, length_mm: _Optional[float] = ..., count: _Optional[int] = ...) -> None: ...

class CutStretch(_message.Message):
    __slots__ = ["length_mm"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    def __init__(self, length_mm: _Optional[float] = ...) -> None: ...

class CutStrip(_message.Message):
    __slots__ = ["item_id", "pieces", "stack", "stretches", "width_mm"]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    STACK_FIELD_NUMBER: _ClassVar[int]
    STRETCHES_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    item_id: str
    pieces: _containers.RepeatedCompositeFieldContainer[CutPieces]
    stack: str
    stretches: _containers.RepeatedCompositeFieldContainer[CutStretch]
    width_mm: float
    def __init__(self, item_id: _Optional[str] = ..., width_mm: _Optional[float] = ..., stretches: _Optional[_Iterable[_Union[CutStretch, _Mapping]]] = ..., pieces: _Optional[_Iterable[_Union[CutPieces, _Mapping]]] = ..., stack: _Optional[str] = ...) -> None: ...

class Cycle(_message.Message):
    __slots__ = ["boards_per_min", "cost", "feed_s", "handling_s", "limit", "positioning_s", "total_s"]
    BOARDS_PER_MIN_FIELD_NUMBER: _ClassVar[int]
    COST_FIELD_NUMBER: _ClassVar[int]
    FEED_S_FIELD_NUMBER: _ClassVar[int]
    HANDLING_S_FIELD_NUMBER: _ClassVar[int]
    LIMIT_FIELD_NUMBER: _ClassVar[int]
    POSITIONING_S_FIELD_NUMBER: _ClassVar[int]
    TOTAL_S_FIELD_NUMBER: _ClassVar[int]
    boards_per_min: float
    cost: float
    feed_s: float
    handling_s: float
    limit: CycleLimit
    positioning_s: float
    total_s: float
    def __init__(self, feed_s: _Optional[float] = ..., positioning_s: _Optional[float] = ..., handling_s: _Optional[float] = ..., total_s: _Optional[float] = ..., limit: _Optional[_Union[CycleLimit, str]] = ..., boards_per_min: _Optional[float] = ..., cost: _Optional[float] = ...) -> None: ...

class EndOfRun(_message.Message):
    __slots__ = []
    def __init__(self) -> None: ...

class ItemTotal(_message.Message):
    __slots__ = ["area_m2", "item_id", "length_ft", "length_m", "order_id", "panel_m", "stack", "strips"]
    AREA_M2_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    LENGTH_FT_FIELD_NUMBER: _ClassVar[int]
    LENGTH_M_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    PANEL_M_FIELD_NUMBER: _ClassVar[int]
    STACK_FIELD_NUMBER: _ClassVar[int]
    STRIPS_FIELD_NUMBER: _ClassVar[int]
    area_m2: float
    item_id: str
    length_ft: float
    length_m: float
    order_id: str
    panel_m: float
    stack: str
    strips: int
    def __init__(self, order_id: _Optional[str] = ..., item_id: _Optional[str] = ..., stack: _Optional[str] = ..., strips: _Optional[int] = ..., length_m: _Optional[float] = ..., length_ft: _Optional[float] = ..., area_m2: _Optional[float] = ..., panel_m: _Optional[float] = ...) -> None: ...

class LineBoard(_message.Message):
    __slots__ = ["answer_within_ms", "board"]
    ANSWER_WITHIN_MS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    answer_within_ms: float
    board: _board_pb2.Board
    def __init__(self, board: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., answer_within_ms: _Optional[float] = ...) -> None: ...

class LineOrderChanged(_message.Message):
    __slots__ = ["ready"]
    READY_FIELD_NUMBER: _ClassVar[int]
    ready: LineReady
    def __init__(self, ready: _Optional[_Union[LineReady, _Mapping]] = ...) -> None: ...

class LinePlan(_message.Message):
    __slots__ = ["arbor_fingerprint", "board_id", "cut_lines", "cycle", "plan", "proof", "queue_time_us", "runners_up", "saw_fingerprint", "set_aside", "solve_time_us", "stack_warnings", "targets", "warnings"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    CUT_LINES_FIELD_NUMBER: _ClassVar[int]
    CYCLE_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    PROOF_FIELD_NUMBER: _ClassVar[int]
    QUEUE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    RUNNERS_UP_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_FIELD_NUMBER: _ClassVar[int]
    SOLVE_TIME_US_FIELD_NUMBER: _ClassVar[int]
    STACK_WARNINGS_FIELD_NUMBER: _ClassVar[int]
    TARGETS_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    board_id: str
    cut_lines: _containers.RepeatedCompositeFieldContainer[CutLine]
    cycle: Cycle
    plan: _plan_pb2.Plan
    proof: _plan_pb2.Proof
    queue_time_us: float
    runners_up: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Plan]
    saw_fingerprint: str
    set_aside: SetAside
    solve_time_us: float
    stack_warnings: _containers.RepeatedCompositeFieldContainer[StackWarning]
    targets: _containers.RepeatedCompositeFieldContainer[Target]
    warnings: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Warning]
    def __init__(self, board_id: _Optional[str] = ..., plan: _Optional[_Union[_plan_pb2.Plan, _Mapping]] = ..., runners_up: _Optional[_Iterable[_Union[_plan_pb2.Plan, _Mapping]]] = ..., proof: _Optional[_Union[_plan_pb2.Proof, _Mapping]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., warnings: _Optional[_Iterable[_Union[_plan_pb2.Warning, _Mapping]]] = ..., targets: _Optional[_Iterable[_Union[Target, _Mapping]]] = ..., cut_lines: _Optional[_Iterable[_Union[CutLine, _Mapping]]] = ..., stack_warnings: _Optional[_Iterable[_Union[StackWarning, _Mapping]]] = ..., cycle: _Optional[_Union[Cycle, _Mapping]] = ..., set_aside: _Optional[_Union[SetAside, _Mapping]] = ..., queue_time_us: _Optional[float] = ..., solve_time_us: _Optional[float] = ...) -> None: ...

class LineReady(_message.Message):
    __slots__ = ["arbor_fingerprint", "boards_in_flight", "order_id", "run_id", "saw_fingerprint", "saw_name", "stack_warnings", "unconfirmed"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    BOARDS_IN_FLIGHT_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    RUN_ID_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    STACK_WARNINGS_FIELD_NUMBER: _ClassVar[int]
    UNCONFIRMED_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    boards_in_flight: int
    order_id: str
    run_id: str
    saw_fingerprint: str
    saw_name: str
    stack_warnings: _containers.RepeatedCompositeFieldContainer[StackWarning]
    unconfirmed: _containers.RepeatedCompositeFieldContainer[UnconfirmedBoard]
    def __init__(self, run_id: _Optional[str] = ..., order_id: _Optional[str] = ..., saw_name: _Optional[str] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ..., boards_in_flight: _Optional[int] = ..., unconfirmed: _Optional[_Iterable[_Union[UnconfirmedBoard, _Mapping]]] = ..., stack_warnings: _Optional[_Iterable[_Union[StackWarning, _Mapping]]] = ...) -> None: ...

class LineRefusal(_message.Message):
    __slots__ = ["faults", "reason"]
    FAULTS_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    faults: _containers.RepeatedCompositeFieldContainer[_error_pb2.FieldFault]
    reason: LineRefusalReason
    def __init__(self, reason: _Optional[_Union[LineRefusalReason, str]] = ..., faults: _Optional[_Iterable[_Union[_error_pb2.FieldFault, _Mapping]]] = ...) -> None: ...

class LineResume(_message.Message):
    __slots__ = ["state"]
    STATE_FIELD_NUMBER: _ClassVar[int]
    state: bytes
    def __init__(self, state: _Optional[bytes] = ...) -> None: ...

class LineResumed(_message.Message):
    __slots__ = ["ready"]
    READY_FIELD_NUMBER: _ClassVar[int]
    ready: LineReady
    def __init__(self, ready: _Optional[_Union[LineReady, _Mapping]] = ...) -> None: ...

class LineSawChanged(_message.Message):
    __slots__ = ["ready"]
    READY_FIELD_NUMBER: _ClassVar[int]
    ready: LineReady
    def __init__(self, ready: _Optional[_Union[LineReady, _Mapping]] = ...) -> None: ...

class LineSetUp(_message.Message):
    __slots__ = ["boards_in_flight", "current_setting", "options", "order", "run_id", "saw", "saw_name", "stack_threshold_mm", "value_planning"]
    BOARDS_IN_FLIGHT_FIELD_NUMBER: _ClassVar[int]
    CURRENT_SETTING_FIELD_NUMBER: _ClassVar[int]
    OPTIONS_FIELD_NUMBER: _ClassVar[int]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    RUN_ID_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    STACK_THRESHOLD_MM_FIELD_NUMBER: _ClassVar[int]
    VALUE_PLANNING_FIELD_NUMBER: _ClassVar[int]
    boards_in_flight: int
    current_setting: _setting_pb2.Setting
    options: _options_pb2.SolveOptions
    order: _order_pb2.CutOrder
    run_id: str
    saw: _saw_pb2.Saw
    saw_name: str
    stack_threshold_mm: float
    value_planning: ValuePlanning
    def __init__(self, run_id: _Optional[str] = ..., saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., current_setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ..., options: _Optional[_Union[_options_pb2.SolveOptions, _Mapping]] = ..., boards_in_flight: _Optional[int] = ..., stack_threshold_mm: _Optional[float] = ..., value_planning: _Optional[_Union[ValuePlanning, _Mapping]] = ...) -> None: ...

class LineSettled(_message.Message):
    __slots__ = ["board_sequence", "result"]
    BOARD_SEQUENCE_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    board_sequence: int
    result: _plan_pb2.ConfirmationResult
    def __init__(self, board_sequence: _Optional[int] = ..., result: _Optional[_Union[_plan_pb2.ConfirmationResult, str]] = ...) -> None: ...

class LineStarted(_message.Message):
    __slots__ = ["ready"]
    READY_FIELD_NUMBER: _ClassVar[int]
    ready: LineReady
    def __init__(self, ready: _Optional[_Union[LineReady, _Mapping]] = ...) -> None: ...

class OrderChange(_message.Message):
    __slots__ = ["order"]
    ORDER_FIELD_NUMBER: _ClassVar[int]
    order: _order_pb2.CutOrder
    def __init__(self, order: _Optional[_Union[_order_pb2.CutOrder, _Mapping]] = ...) -> None: ...

class OutcomeCount(_message.Message):
    __slots__ = ["boards", "outcome"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    OUTCOME_FIELD_NUMBER: _ClassVar[int]
    boards: int
    outcome: CutOutcome
    def __init__(self, outcome: _Optional[_Union[CutOutcome, str]] = ..., boards: _Optional[int] = ...) -> None: ...

class PackTotal(_message.Message):
    __slots__ = ["board_feet", "boards", "face_m2", "pack_id"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    FACE_M2_FIELD_NUMBER: _ClassVar[int]
    PACK_ID_FIELD_NUMBER: _ClassVar[int]
    board_feet: float
    boards: int
    face_m2: float
    pack_id: str
    def __init__(self, pack_id: _Optional[str] = ..., boards: _Optional[int] = ..., face_m2: _Optional[float] = ..., board_feet: _Optional[float] = ...) -> None: ...

class RunLineRequest(_message.Message):
    __slots__ = ["board", "confirmation", "end", "order_change", "resume", "saw_change", "sequence", "set_up"]
    BOARD_FIELD_NUMBER: _ClassVar[int]
    CONFIRMATION_FIELD_NUMBER: _ClassVar[int]
    END_FIELD_NUMBER: _ClassVar[int]
    ORDER_CHANGE_FIELD_NUMBER: _ClassVar[int]
    RESUME_FIELD_NUMBER: _ClassVar[int]
    SAW_CHANGE_FIELD_NUMBER: _ClassVar[int]
    SEQUENCE_FIELD_NUMBER: _ClassVar[int]
    SET_UP_FIELD_NUMBER: _ClassVar[int]
    board: LineBoard
    confirmation: CutConfirmation
    end: EndOfRun
    order_change: OrderChange
    resume: LineResume
    saw_change: SawChange
    sequence: int
    set_up: LineSetUp
    def __init__(self, sequence: _Optional[int] = ..., set_up: _Optional[_Union[LineSetUp, _Mapping]] = ..., resume: _Optional[_Union[LineResume, _Mapping]] = ..., board: _Optional[_Union[LineBoard, _Mapping]] = ..., confirmation: _Optional[_Union[CutConfirmation, _Mapping]] = ..., order_change: _Optional[_Union[OrderChange, _Mapping]] = ..., saw_change: _Optional[_Union[SawChange, _Mapping]] = ..., end: _Optional[_Union[EndOfRun, _Mapping]] = ...) -> None: ...

class RunLineResponse(_message.Message):
    __slots__ = ["fills", "order_changed", "plan", "refused", "resumed", "saw_changed", "sequence", "settled", "started", "state", "summary", "values", "values_under_way"]
    FILLS_FIELD_NUMBER: _ClassVar[int]
    ORDER_CHANGED_FIELD_NUMBER: _ClassVar[int]
    PLAN_FIELD_NUMBER: _ClassVar[int]
    REFUSED_FIELD_NUMBER: _ClassVar[int]
    RESUMED_FIELD_NUMBER: _ClassVar[int]
    SAW_CHANGED_FIELD_NUMBER: _ClassVar[int]
    SEQUENCE_FIELD_NUMBER: _ClassVar[int]
    SETTLED_FIELD_NUMBER: _ClassVar[int]
    STARTED_FIELD_NUMBER: _ClassVar[int]
    STATE_FIELD_NUMBER: _ClassVar[int]
    SUMMARY_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    VALUES_UNDER_WAY_FIELD_NUMBER: _ClassVar[int]
    fills: _containers.RepeatedCompositeFieldContainer[_plan_pb2.Fill]
    order_changed: LineOrderChanged
    plan: LinePlan
    refused: LineRefusal
    resumed: LineResumed
    saw_changed: LineSawChanged
    sequence: int
    settled: LineSettled
    started: LineStarted
    state: bytes
    summary: RunSummary
    values: ValuesInForce
    values_under_way: bool
    def __init__(self, sequence: _Optional[int] = ..., started: _Optional[_Union[LineStarted, _Mapping]] = ..., resumed: _Optional[_Union[LineResumed, _Mapping]] = ..., order_changed: _Optional[_Union[LineOrderChanged, _Mapping]] = ..., saw_changed: _Optional[_Union[LineSawChanged, _Mapping]] = ..., plan: _Optional[_Union[LinePlan, _Mapping]] = ..., settled: _Optional[_Union[LineSettled, _Mapping]] = ..., refused: _Optional[_Union[LineRefusal, _Mapping]] = ..., summary: _Optional[_Union[RunSummary, _Mapping]] = ..., fills: _Optional[_Iterable[_Union[_plan_pb2.Fill, _Mapping]]] = ..., state: _Optional[bytes] = ..., values: _Optional[_Union[ValuesInForce, _Mapping]] = ..., values_under_way: bool = ...) -> None: ...

class RunSummary(_message.Message):
    __slots__ = ["account", "cycle_s", "items", "outcomes", "packs", "planned", "refused", "run_id", "stacks", "unconfirmed"]
    ACCOUNT_FIELD_NUMBER: _ClassVar[int]
    CYCLE_S_FIELD_NUMBER: _ClassVar[int]
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    OUTCOMES_FIELD_NUMBER: _ClassVar[int]
    PACKS_FIELD_NUMBER: _ClassVar[int]
    PLANNED_FIELD_NUMBER: _ClassVar[int]
    REFUSED_FIELD_NUMBER: _ClassVar[int]
    RUN_ID_FIELD_NUMBER: _ClassVar[int]
    STACKS_FIELD_NUMBER: _ClassVar[int]
    UNCONFIRMED_FIELD_NUMBER: _ClassVar[int]
    account: _plan_pb2.Account
    cycle_s: float
    items: _containers.RepeatedCompositeFieldContainer[ItemTotal]
    outcomes: _containers.RepeatedCompositeFieldContainer[OutcomeCount]
    packs: _containers.RepeatedCompositeFieldContainer[PackTotal]
    planned: int
    refused: int
    run_id: str
    stacks: _containers.RepeatedCompositeFieldContainer[StackTotal]
    unconfirmed: int
    def __init__(self, run_id: _Optional[str] = ..., planned: _Optional[int] = ..., refused: _Optional[int] = ..., unconfirmed: _Optional[int] = ..., outcomes: _Optional[_Iterable[_Union[OutcomeCount, _Mapping]]] = ..., items: _Optional[_Iterable[_Union[ItemTotal, _Mapping]]] = ..., stacks: _Optional[_Iterable[_Union[StackTotal, _Mapping]]] = ..., account: _Optional[_Union[_plan_pb2.Account, _Mapping]] = ..., packs: _Optional[_Iterable[_Union[PackTotal, _Mapping]]] = ..., cycle_s: _Optional[float] = ...) -> None: ...

class SawChange(_message.Message):
    __slots__ = ["current_setting", "saw", "saw_name"]
    CURRENT_SETTING_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_NAME_FIELD_NUMBER: _ClassVar[int]
    current_setting: _setting_pb2.Setting
    saw: _saw_pb2.Saw
    saw_name: str
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., saw_name: _Optional[str] = ..., current_setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ...) -> None: ...

class SetAside(_message.Message):
    __slots__ = ["advised", "min_worth"]
    ADVISED_FIELD_NUMBER: _ClassVar[int]
    MIN_WORTH_FIELD_NUMBER: _ClassVar[int]
    advised: bool
    min_worth: float
    def __init__(self, advised: bool = ..., min_worth: _Optional[float] = ...) -> None: ...

class StackTotal(_message.Message):
    __slots__ = ["area_m2", "item_ids", "length_m", "stack", "strips"]
    AREA_M2_FIELD_NUMBER: _ClassVar[int]
    ITEM_IDS_FIELD_NUMBER: _ClassVar[int]
    LENGTH_M_FIELD_NUMBER: _ClassVar[int]
    STACK_FIELD_NUMBER: _ClassVar[int]
    STRIPS_FIELD_NUMBER: _ClassVar[int]
    area_m2: float
    item_ids: _containers.RepeatedScalarFieldContainer[str]
    length_m: float
    stack: str
    strips: int
    def __init__(self, stack: _Optional[str] = ..., strips: _Optional[int] = ..., length_m: _Optional[float] = ..., area_m2: _Optional[float] = ..., item_ids: _Optional[_Iterable[str]] = ...) -> None: ...

class StackWarning(_message.Message):
    __slots__ = ["apart_mm", "item_id", "other_item_id"]
    APART_MM_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    OTHER_ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    apart_mm: float
    item_id: str
    other_item_id: str
    def __init__(self, item_id: _Optional[str] = ..., other_item_id: _Optional[str] = ..., apart_mm: _Optional[float] = ...) -> None: ...

class Target(_message.Message):
    __slots__ = ["axis", "blade", "from_position", "to_position"]
    AXIS_FIELD_NUMBER: _ClassVar[int]
    BLADE_FIELD_NUMBER: _ClassVar[int]
    FROM_POSITION_FIELD_NUMBER: _ClassVar[int]
    TO_POSITION_FIELD_NUMBER: _ClassVar[int]
    axis: Axis
    blade: int
    from_position: float
    to_position: float
    def __init__(self, axis: _Optional[_Union[Axis, str]] = ..., blade: _Optional[int] = ..., from_position: _Optional[float] = ..., to_position: _Optional[float] = ...) -> None: ...

class UnconfirmedBoard(_message.Message):
    __slots__ = ["board_id", "board_sequence"]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    BOARD_SEQUENCE_FIELD_NUMBER: _ClassVar[int]
    board_id: str
    board_sequence: int
    def __init__(self, board_sequence: _Optional[int] = ..., board_id: _Optional[str] = ...) -> None: ...

class ValuePlanning(_message.Message):
    __slots__ = ["expected", "replan_every_boards", "rules", "set_aside_loss"]
    EXPECTED_FIELD_NUMBER: _ClassVar[int]
    REPLAN_EVERY_BOARDS_FIELD_NUMBER: _ClassVar[int]
    RULES_FIELD_NUMBER: _ClassVar[int]
    SET_ASIDE_LOSS_FIELD_NUMBER: _ClassVar[int]
    expected: _containers.RepeatedCompositeFieldContainer[_board_pb2.Board]
    replan_every_boards: int
    rules: _containers.RepeatedCompositeFieldContainer[_planning_pb2.ValueRule]
    set_aside_loss: float
    def __init__(self, replan_every_boards: _Optional[int] = ..., expected: _Optional[_Iterable[_Union[_board_pb2.Board, _Mapping]]] = ..., rules: _Optional[_Iterable[_Union[_planning_pb2.ValueRule, _Mapping]]] = ..., set_aside_loss: _Optional[float] = ...) -> None: ...

class ValuesInForce(_message.Message):
    __slots__ = ["boards_seen", "failed", "failure", "late", "number", "values", "worth_per_m2"]
    BOARDS_SEEN_FIELD_NUMBER: _ClassVar[int]
    FAILED_FIELD_NUMBER: _ClassVar[int]
    FAILURE_FIELD_NUMBER: _ClassVar[int]
    LATE_FIELD_NUMBER: _ClassVar[int]
    NUMBER_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    WORTH_PER_M2_FIELD_NUMBER: _ClassVar[int]
    boards_seen: int
    failed: int
    failure: str
    late: _containers.RepeatedCompositeFieldContainer[_planning_pb2.LateItem]
    number: int
    values: _containers.RepeatedCompositeFieldContainer[_planning_pb2.PlannedValue]
    worth_per_m2: float
    def __init__(self, number: _Optional[int] = ..., boards_seen: _Optional[int] = ..., values: _Optional[_Iterable[_Union[_planning_pb2.PlannedValue, _Mapping]]] = ..., worth_per_m2: _Optional[float] = ..., failed: _Optional[int] = ..., failure: _Optional[str] = ..., late: _Optional[_Iterable[_Union[_planning_pb2.LateItem, _Mapping]]] = ...) -> None: ...

class CutOutcome(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class Axis(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class CycleLimit(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class LineRefusalReason(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
