from ripwright.v1 import order_pb2 as _order_pb2
from ripwright.v1 import setting_pb2 as _setting_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

CONFIRMATION_RESULT_BOARD_REFUSED: ConfirmationResult
CONFIRMATION_RESULT_COUNTED: ConfirmationResult
CONFIRMATION_RESULT_COUNTED_BEFORE: ConfirmationResult
CONFIRMATION_RESULT_COUNTED_OTHERWISE: ConfirmationResult
CONFIRMATION_RESULT_NO_SUCH_BOARD: ConfirmationResult
CONFIRMATION_RESULT_TOO_LONG_AGO: ConfirmationResult
CONFIRMATION_RESULT_UNSPECIFIED: ConfirmationResult
DESCRIPTOR: _descriptor.FileDescriptor
ENDED_BY_MEMORY_LIMIT: EndedBy
ENDED_BY_NO_LIMIT: EndedBy
ENDED_BY_TIME_LIMIT: EndedBy
ENDED_BY_UNSPECIFIED: EndedBy
ENDED_BY_WORK_LIMIT: EndedBy
SETTING_RULE_BLADE_FIXED: SettingRule
SETTING_RULE_BLADE_GAP: SettingRule
SETTING_RULE_BLADE_STEP: SettingRule
SETTING_RULE_BLADE_TRAVEL: SettingRule
SETTING_RULE_FENCE_STEP: SettingRule
SETTING_RULE_FENCE_TRAVEL: SettingRule
SETTING_RULE_SKEW_LIMIT: SettingRule
SETTING_RULE_SKEW_STEP: SettingRule
SETTING_RULE_SKEW_STRAIGHT_EDGE: SettingRule
SETTING_RULE_UNSPECIFIED: SettingRule
WARNING_KIND_CROOK_UNSEEN: WarningKind
WARNING_KIND_OFF_FENCE: WarningKind
WARNING_KIND_STRIPS_AS_PIECES: WarningKind
WARNING_KIND_UNKNOWN_DEFECT_KIND: WarningKind
WARNING_KIND_UNSPECIFIED: WarningKind

class Account(_message.Message):
    __slots__ = ["board_feet", "crosscut_loss_m2", "edging_m2", "end_trim_m2", "face_m2", "kerf_m2", "offcut_m2", "other_m2", "rerip_m2", "rerip_worth", "strip_m2", "yield_ratio"]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    CROSSCUT_LOSS_M2_FIELD_NUMBER: _ClassVar[int]
    EDGING_M2_FIELD_NUMBER: _ClassVar[int]
    END_TRIM_M2_FIELD_NUMBER: _ClassVar[int]
    FACE_M2_FIELD_NUMBER: _ClassVar[int]
    KERF_M2_FIELD_NUMBER: _ClassVar[int]
    OFFCUT_M2_FIELD_NUMBER: _ClassVar[int]
    OTHER_M2_FIELD_NUMBER: _ClassVar[int]
    RERIP_M2_FIELD_NUMBER: _ClassVar[int]
    RERIP_WORTH_FIELD_NUMBER: _ClassVar[int]
    STRIP_M2_FIELD_NUMBER: _ClassVar[int]
    YIELD_RATIO_FIELD_NUMBER: _ClassVar[int]
    board_feet: float
    crosscut_loss_m2: float
    edging_m2: float
    end_trim_m2: float
    face_m2: float
    kerf_m2: float
    offcut_m2: float
    other_m2: float
    rerip_m2: float
    rerip_worth: float
    strip_m2: float
    yield_ratio: float
    def __init__(self, face_m2: _Optional[float] = ..., strip_m2: _Optional[float] = ..., end_trim_m2: _Optional[float] = ..., offcut_m2: _Optional[float] = ..., edging_m2: _Optional[float] = ..., kerf_m2: _Optional[float] = ..., other_m2: _Optional[float] = ..., yield_ratio: _Optional[float] = ..., rerip_m2: _Optional[float] = ..., rerip_worth: _Optional[float] = ..., crosscut_loss_m2: _Optional[float] = ..., board_feet: _Optional[float] = ...) -> None: ...

class BrokenRule(_message.Message):
    __slots__ = ["path", "rule", "says"]
    PATH_FIELD_NUMBER: _ClassVar[int]
    RULE_FIELD_NUMBER: _ClassVar[int]
    SAYS_FIELD_NUMBER: _ClassVar[int]
    path: str
    rule: SettingRule
    says: str
    def __init__(self, rule: _Optional[_Union[SettingRule, str]] = ..., path: _Optional[str] = ..., says: _Optional[str] = ...) -> None: ...

class Fill(_message.Message):
    __slots__ = ["item_id", "lengths", "made", "made_after", "open", "panel_m", "required", "reserved"]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    LENGTHS_FIELD_NUMBER: _ClassVar[int]
    MADE_AFTER_FIELD_NUMBER: _ClassVar[int]
    MADE_FIELD_NUMBER: _ClassVar[int]
    OPEN_FIELD_NUMBER: _ClassVar[int]
    PANEL_M_FIELD_NUMBER: _ClassVar[int]
    REQUIRED_FIELD_NUMBER: _ClassVar[int]
    RESERVED_FIELD_NUMBER: _ClassVar[int]
    item_id: str
    lengths: _containers.RepeatedCompositeFieldContainer[LengthFill]
    made: _order_pb2.Amount
    made_after: _order_pb2.Amount
    open: _order_pb2.Amount
    panel_m: float
    required: _order_pb2.Amount
    reserved: _order_pb2.Amount
    def __init__(self, item_id: _Optional[str] = ..., required: _Optional[_Union[_order_pb2.Amount, _Mapping]] = ..., made: _Optional[_Union[_order_pb2.Amount, _Mapping]] = ..., reserved: _Optional[_Union[_order_pb2.Amount, _Mapping]] = ..., made_after: _Optional[_Union[_order_pb2.Amount, _Mapping]] = ..., open: _Optional[_Union[_order_pb2.Amount, _Mapping]] = ..., lengths: _Optional[_Iterable[_Union[LengthFill, _Mapping]]] = ..., panel_m: _Optional[float] = ...) -> None: ...

class LengthFill(_message.Message):
    __slots__ = ["length_mm", "made", "made_after", "open", "overrun", "required", "reserved"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MADE_AFTER_FIELD_NUMBER: _ClassVar[int]
    MADE_FIELD_NUMBER: _ClassVar[int]
    OPEN_FIELD_NUMBER: _ClassVar[int]
    OVERRUN_FIELD_NUMBER: _ClassVar[int]
    REQUIRED_FIELD_NUMBER: _ClassVar[int]
    RESERVED_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    made: int
    made_after: int
    open: int
    overrun: int
    required: int
    reserved: int
    def __init__(self, length_mm: _Optional[float] = ..., required: _Optional[int] = ..., made: _Optional[int] = ..., reserved: _Optional[int] = ..., made_after: _Optional[int] = ..., open: _Optional[int] = ..., overrun: _Optional[int] = ...) -> None: ...

class Piece(_message.Message):
    __slots__ = ["from_mm", "length_index", "length_mm", "to_mm"]
    FROM_MM_FIELD_NUMBER: _ClassVar[int]
    LENGTH_INDEX_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    TO_MM_FIELD_NUMBER: _ClassVar[int]
    from_mm: float
    length_index: int
    length_mm: float
    to_mm: float
    def __init__(self, length_index: _Optional[int] = ..., length_mm: _Optional[float] = ..., from_mm: _Optional[float] = ..., to_mm: _Optional[float] = ...) -> None: ...

class Plan(_message.Message):
    __slots__ = ["account", "blades_in_wood", "deviation_mm", "pockets", "setting", "travel_mm", "worth"]
    ACCOUNT_FIELD_NUMBER: _ClassVar[int]
    BLADES_IN_WOOD_FIELD_NUMBER: _ClassVar[int]
    DEVIATION_MM_FIELD_NUMBER: _ClassVar[int]
    POCKETS_FIELD_NUMBER: _ClassVar[int]
    SETTING_FIELD_NUMBER: _ClassVar[int]
    TRAVEL_MM_FIELD_NUMBER: _ClassVar[int]
    WORTH_FIELD_NUMBER: _ClassVar[int]
    account: Account
    blades_in_wood: int
    deviation_mm: float
    pockets: _containers.RepeatedCompositeFieldContainer[Pocket]
    setting: _setting_pb2.Setting
    travel_mm: float
    worth: float
    def __init__(self, setting: _Optional[_Union[_setting_pb2.Setting, _Mapping]] = ..., pockets: _Optional[_Iterable[_Union[Pocket, _Mapping]]] = ..., worth: _Optional[float] = ..., account: _Optional[_Union[Account, _Mapping]] = ..., travel_mm: _Optional[float] = ..., blades_in_wood: _Optional[int] = ..., deviation_mm: _Optional[float] = ...) -> None: ...

class Pocket(_message.Message):
    __slots__ = ["counted_length_m", "far_blade", "far_mm", "item_id", "near_blade", "near_mm", "pieces", "stack", "stretches", "width_mm", "worth"]
    COUNTED_LENGTH_M_FIELD_NUMBER: _ClassVar[int]
    FAR_BLADE_FIELD_NUMBER: _ClassVar[int]
    FAR_MM_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    NEAR_BLADE_FIELD_NUMBER: _ClassVar[int]
    NEAR_MM_FIELD_NUMBER: _ClassVar[int]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    STACK_FIELD_NUMBER: _ClassVar[int]
    STRETCHES_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    WORTH_FIELD_NUMBER: _ClassVar[int]
    counted_length_m: float
    far_blade: int
    far_mm: float
    item_id: str
    near_blade: int
    near_mm: float
    pieces: _containers.RepeatedCompositeFieldContainer[Piece]
    stack: str
    stretches: _containers.RepeatedCompositeFieldContainer[Stretch]
    width_mm: float
    worth: float
    def __init__(self, near_blade: _Optional[int] = ..., far_blade: _Optional[int] = ..., item_id: _Optional[str] = ..., near_mm: _Optional[float] = ..., far_mm: _Optional[float] = ..., width_mm: _Optional[float] = ..., counted_length_m: _Optional[float] = ..., stretches: _Optional[_Iterable[_Union[Stretch, _Mapping]]] = ..., worth: _Optional[float] = ..., stack: _Optional[str] = ..., pieces: _Optional[_Iterable[_Union[Piece, _Mapping]]] = ...) -> None: ...

class Proof(_message.Message):
    __slots__ = ["bound", "ended_by", "proven", "work", "worth"]
    BOUND_FIELD_NUMBER: _ClassVar[int]
    ENDED_BY_FIELD_NUMBER: _ClassVar[int]
    PROVEN_FIELD_NUMBER: _ClassVar[int]
    WORK_FIELD_NUMBER: _ClassVar[int]
    WORTH_FIELD_NUMBER: _ClassVar[int]
    bound: float
    ended_by: EndedBy
    proven: bool
    work: float
    worth: float
    def __init__(self, worth: _Optional[float] = ..., bound: _Optional[float] = ..., proven: bool = ..., ended_by: _Optional[_Union[EndedBy, str]] = ..., work: _Optional[float] = ...) -> None: ...

class Stretch(_message.Message):
    __slots__ = ["from_mm", "to_mm"]
    FROM_MM_FIELD_NUMBER: _ClassVar[int]
    TO_MM_FIELD_NUMBER: _ClassVar[int]
    from_mm: float
    to_mm: float
    def __init__(self, from_mm: _Optional[float] = ..., to_mm: _Optional[float] = ...) -> None: ...

class Warning(_message.Message):
    __slots__ = ["kind", "path", "says"]
    KIND_FIELD_NUMBER: _ClassVar[int]
    PATH_FIELD_NUMBER: _ClassVar[int]
    SAYS_FIELD_NUMBER: _ClassVar[int]
    kind: WarningKind
    path: str
    says: str
    def __init__(self, kind: _Optional[_Union[WarningKind, str]] = ..., path: _Optional[str] = ..., says: _Optional[str] = ...) -> None: ...

class EndedBy(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class WarningKind(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class SettingRule(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class ConfirmationResult(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
