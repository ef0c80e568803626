from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class Board(_message.Message):
    __slots__ = ["board_id", "defects", "length_mm", "near_edge_straight", "pack_id", "stations", "thickness_mm"]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    DEFECTS_FIELD_NUMBER: _ClassVar[int]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    NEAR_EDGE_STRAIGHT_FIELD_NUMBER: _ClassVar[int]
    PACK_ID_FIELD_NUMBER: _ClassVar[int]
    STATIONS_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    board_id: str
    defects: _containers.RepeatedCompositeFieldContainer[Defect]
    length_mm: float
    near_edge_straight: bool
    pack_id: str
    stations: _containers.RepeatedCompositeFieldContainer[Station]
    thickness_mm: float
    def __init__(self, board_id: _Optional[str] = ..., pack_id: _Optional[str] = ..., length_mm: _Optional[float] = ..., thickness_mm: _Optional[float] = ..., stations: _Optional[_Iterable[_Union[Station, _Mapping]]] = ..., near_edge_straight: bool = ..., defects: _Optional[_Iterable[_Union[Defect, _Mapping]]] = ...) -> None: ...

class Defect(_message.Message):
    __slots__ = ["from_x_mm", "from_y_mm", "kind", "to_x_mm", "to_y_mm"]
    FROM_X_MM_FIELD_NUMBER: _ClassVar[int]
    FROM_Y_MM_FIELD_NUMBER: _ClassVar[int]
    KIND_FIELD_NUMBER: _ClassVar[int]
    TO_X_MM_FIELD_NUMBER: _ClassVar[int]
    TO_Y_MM_FIELD_NUMBER: _ClassVar[int]
    from_x_mm: float
    from_y_mm: float
    kind: str
    to_x_mm: float
    to_y_mm: float
    def __init__(self, from_x_mm: _Optional[float] = ..., to_x_mm: _Optional[float] = ..., from_y_mm: _Optional[float] = ..., to_y_mm: _Optional[float] = ..., kind: _Optional[str] = ...) -> None: ...

class Station(_message.Message):
    __slots__ = ["far_mm", "near_mm", "x_mm"]
    FAR_MM_FIELD_NUMBER: _ClassVar[int]
    NEAR_MM_FIELD_NUMBER: _ClassVar[int]
    X_MM_FIELD_NUMBER: _ClassVar[int]
    far_mm: float
    near_mm: float
    x_mm: float
    def __init__(self, x_mm: _Optional[float] = ..., near_mm: _Optional[float] = ..., far_mm: _Optional[float] = ...) -> None: ...
