from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
VALUE_PER_AREA: ValuePer
VALUE_PER_LENGTH: ValuePer
VALUE_PER_STRIP: ValuePer
VALUE_PER_UNSPECIFIED: ValuePer

class Amount(_message.Message):
    __slots__ = ["area_m2", "length_m", "pieces"]
    AREA_M2_FIELD_NUMBER: _ClassVar[int]
    LENGTH_M_FIELD_NUMBER: _ClassVar[int]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    area_m2: float
    length_m: float
    pieces: int
    def __init__(self, length_m: _Optional[float] = ..., area_m2: _Optional[float] = ..., pieces: _Optional[int] = ...) -> None: ...

class Crosscut(_message.Message):
    __slots__ = ["end_trim_mm", "kerf_mm", "lengths"]
    END_TRIM_MM_FIELD_NUMBER: _ClassVar[int]
    KERF_MM_FIELD_NUMBER: _ClassVar[int]
    LENGTHS_FIELD_NUMBER: _ClassVar[int]
    end_trim_mm: float
    kerf_mm: float
    lengths: _containers.RepeatedCompositeFieldContainer[CutLength]
    def __init__(self, lengths: _Optional[_Iterable[_Union[CutLength, _Mapping]]] = ..., kerf_mm: _Optional[float] = ..., end_trim_mm: _Optional[float] = ...) -> None: ...

class CutLength(_message.Message):
    __slots__ = ["length_mm", "made", "required", "value"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MADE_FIELD_NUMBER: _ClassVar[int]
    REQUIRED_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    made: int
    required: int
    value: float
    def __init__(self, length_mm: _Optional[float] = ..., value: _Optional[float] = ..., required: _Optional[int] = ..., made: _Optional[int] = ...) -> None: ...

class CutOrder(_message.Message):
    __slots__ = ["items", "order_id"]
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    ORDER_ID_FIELD_NUMBER: _ClassVar[int]
    items: _containers.RepeatedCompositeFieldContainer[Item]
    order_id: str
    def __init__(self, order_id: _Optional[str] = ..., items: _Optional[_Iterable[_Union[Item, _Mapping]]] = ...) -> None: ...

class Item(_message.Message):
    __slots__ = ["accepts", "crosscut", "due_boards", "item_id", "made", "max_length_mm", "min_length_mm", "panel", "piece_length_mm", "range", "required", "stack", "tolerance_mm", "value", "value_per", "width_mm"]
    ACCEPTS_FIELD_NUMBER: _ClassVar[int]
    CROSSCUT_FIELD_NUMBER: _ClassVar[int]
    DUE_BOARDS_FIELD_NUMBER: _ClassVar[int]
    ITEM_ID_FIELD_NUMBER: _ClassVar[int]
    MADE_FIELD_NUMBER: _ClassVar[int]
    MAX_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    PANEL_FIELD_NUMBER: _ClassVar[int]
    PIECE_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    RANGE_FIELD_NUMBER: _ClassVar[int]
    REQUIRED_FIELD_NUMBER: _ClassVar[int]
    STACK_FIELD_NUMBER: _ClassVar[int]
    TOLERANCE_MM_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    VALUE_PER_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    accepts: _containers.RepeatedScalarFieldContainer[str]
    crosscut: Crosscut
    due_boards: int
    item_id: str
    made: Amount
    max_length_mm: float
    min_length_mm: float
    panel: Panel
    piece_length_mm: float
    range: WidthRange
    required: Amount
    stack: str
    tolerance_mm: float
    value: float
    value_per: ValuePer
    width_mm: float
    def __init__(self, item_id: _Optional[str] = ..., width_mm: _Optional[float] = ..., range: _Optional[_Union[WidthRange, _Mapping]] = ..., value: _Optional[float] = ..., value_per: _Optional[_Union[ValuePer, str]] = ..., required: _Optional[_Union[Amount, _Mapping]] = ..., made: _Optional[_Union[Amount, _Mapping]] = ..., piece_length_mm: _Optional[float] = ..., min_length_mm: _Optional[float] = ..., max_length_mm: _Optional[float] = ..., tolerance_mm: _Optional[float] = ..., stack: _Optional[str] = ..., accepts: _Optional[_Iterable[str]] = ..., crosscut: _Optional[_Union[Crosscut, _Mapping]] = ..., panel: _Optional[_Union[Panel, _Mapping]] = ..., due_boards: _Optional[int] = ...) -> None: ...

class Panel(_message.Message):
    __slots__ = ["joint_allowance_mm", "width_mm"]
    JOINT_ALLOWANCE_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    joint_allowance_mm: float
    width_mm: float
    def __init__(self, width_mm: _Optional[float] = ..., joint_allowance_mm: _Optional[float] = ...) -> None: ...

class WidthRange(_message.Message):
    __slots__ = ["max_mm", "min_mm"]
    MAX_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_MM_FIELD_NUMBER: _ClassVar[int]
    max_mm: float
    min_mm: float
    def __init__(self, min_mm: _Optional[float] = ..., max_mm: _Optional[float] = ...) -> None: ...

class ValuePer(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
