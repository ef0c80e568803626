from ripwright.v1 import board_pb2 as _board_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
TALLY_BASIS_GROSS: TallyBasis
TALLY_BASIS_NET: TallyBasis
TALLY_BASIS_UNSPECIFIED: TallyBasis
TALLY_RULE_BLOCK_TALLY: TallyRule
TALLY_RULE_END_TALLY: TallyRule
TALLY_RULE_EXACT_VOLUME: TallyRule
TALLY_RULE_METRIC_VOLUME: TallyRule
TALLY_RULE_SURFACE_MEASURE: TallyRule
TALLY_RULE_UNSPECIFIED: TallyRule
TALLY_SCOPE_CONSUMED_SO_FAR: TallyScope
TALLY_SCOPE_UNSPECIFIED: TallyScope
TALLY_SCOPE_WHOLE_PACK: TallyScope

class CountLine(_message.Message):
    __slots__ = ["inches", "metric", "pieces"]
    INCHES_FIELD_NUMBER: _ClassVar[int]
    METRIC_FIELD_NUMBER: _ClassVar[int]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    inches: InchSize
    metric: MetricSize
    pieces: int
    def __init__(self, inches: _Optional[_Union[InchSize, _Mapping]] = ..., metric: _Optional[_Union[MetricSize, _Mapping]] = ..., pieces: _Optional[int] = ...) -> None: ...

class CountTally(_message.Message):
    __slots__ = ["lines"]
    LINES_FIELD_NUMBER: _ClassVar[int]
    lines: _containers.RepeatedCompositeFieldContainer[CountLine]
    def __init__(self, lines: _Optional[_Iterable[_Union[CountLine, _Mapping]]] = ...) -> None: ...

class InchSize(_message.Message):
    __slots__ = ["length_ft", "thickness_in", "width_in"]
    LENGTH_FT_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_IN_FIELD_NUMBER: _ClassVar[int]
    WIDTH_IN_FIELD_NUMBER: _ClassVar[int]
    length_ft: float
    thickness_in: float
    width_in: float
    def __init__(self, width_in: _Optional[float] = ..., length_ft: _Optional[float] = ..., thickness_in: _Optional[float] = ...) -> None: ...

class MetricSize(_message.Message):
    __slots__ = ["length_mm", "thickness_mm", "width_mm"]
    LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    length_mm: float
    thickness_mm: float
    width_mm: float
    def __init__(self, width_mm: _Optional[float] = ..., length_mm: _Optional[float] = ..., thickness_mm: _Optional[float] = ...) -> None: ...

class Pack(_message.Message):
    __slots__ = ["boards", "grade", "measured_basis", "min_length_mm", "min_width_mm", "nominal_thickness_in", "pack_id", "price_per_mbf", "scant_mm", "scope", "species", "supplier", "tally"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    GRADE_FIELD_NUMBER: _ClassVar[int]
    MEASURED_BASIS_FIELD_NUMBER: _ClassVar[int]
    MIN_LENGTH_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_WIDTH_MM_FIELD_NUMBER: _ClassVar[int]
    NOMINAL_THICKNESS_IN_FIELD_NUMBER: _ClassVar[int]
    PACK_ID_FIELD_NUMBER: _ClassVar[int]
    PRICE_PER_MBF_FIELD_NUMBER: _ClassVar[int]
    SCANT_MM_FIELD_NUMBER: _ClassVar[int]
    SCOPE_FIELD_NUMBER: _ClassVar[int]
    SPECIES_FIELD_NUMBER: _ClassVar[int]
    SUPPLIER_FIELD_NUMBER: _ClassVar[int]
    TALLY_FIELD_NUMBER: _ClassVar[int]
    boards: _containers.RepeatedCompositeFieldContainer[TallyBoard]
    grade: str
    measured_basis: TallyBasis
    min_length_mm: float
    min_width_mm: float
    nominal_thickness_in: float
    pack_id: str
    price_per_mbf: float
    scant_mm: float
    scope: TallyScope
    species: str
    supplier: str
    tally: SupplierTally
    def __init__(self, pack_id: _Optional[str] = ..., supplier: _Optional[str] = ..., species: _Optional[str] = ..., grade: _Optional[str] = ..., nominal_thickness_in: _Optional[float] = ..., price_per_mbf: _Optional[float] = ..., tally: _Optional[_Union[SupplierTally, _Mapping]] = ..., boards: _Optional[_Iterable[_Union[TallyBoard, _Mapping]]] = ..., measured_basis: _Optional[_Union[TallyBasis, str]] = ..., scope: _Optional[_Union[TallyScope, str]] = ..., min_width_mm: _Optional[float] = ..., min_length_mm: _Optional[float] = ..., scant_mm: _Optional[float] = ...) -> None: ...

class PackLumber(_message.Message):
    __slots__ = ["board_feet", "boards", "face_m2", "length_m", "pack_id"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    FACE_M2_FIELD_NUMBER: _ClassVar[int]
    LENGTH_M_FIELD_NUMBER: _ClassVar[int]
    PACK_ID_FIELD_NUMBER: _ClassVar[int]
    board_feet: float
    boards: int
    face_m2: float
    length_m: float
    pack_id: str
    def __init__(self, pack_id: _Optional[str] = ..., boards: _Optional[int] = ..., face_m2: _Optional[float] = ..., board_feet: _Optional[float] = ..., length_m: _Optional[float] = ...) -> None: ...

class SupplierTally(_message.Message):
    __slots__ = ["basis", "board_feet", "counts", "surfaces"]
    BASIS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    COUNTS_FIELD_NUMBER: _ClassVar[int]
    SURFACES_FIELD_NUMBER: _ClassVar[int]
    basis: TallyBasis
    board_feet: float
    counts: CountTally
    surfaces: SurfaceTally
    def __init__(self, board_feet: _Optional[float] = ..., counts: _Optional[_Union[CountTally, _Mapping]] = ..., surfaces: _Optional[_Union[SurfaceTally, _Mapping]] = ..., basis: _Optional[_Union[TallyBasis, str]] = ...) -> None: ...

class SurfaceLine(_message.Message):
    __slots__ = ["pieces", "surface_ft2"]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    SURFACE_FT2_FIELD_NUMBER: _ClassVar[int]
    pieces: int
    surface_ft2: int
    def __init__(self, surface_ft2: _Optional[int] = ..., pieces: _Optional[int] = ...) -> None: ...

class SurfaceTally(_message.Message):
    __slots__ = ["lines"]
    LINES_FIELD_NUMBER: _ClassVar[int]
    lines: _containers.RepeatedCompositeFieldContainer[SurfaceLine]
    def __init__(self, lines: _Optional[_Iterable[_Union[SurfaceLine, _Mapping]]] = ...) -> None: ...

class TallyBoard(_message.Message):
    __slots__ = ["board_id", "consumed", "inches", "metric", "pieces", "profile"]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    CONSUMED_FIELD_NUMBER: _ClassVar[int]
    INCHES_FIELD_NUMBER: _ClassVar[int]
    METRIC_FIELD_NUMBER: _ClassVar[int]
    PIECES_FIELD_NUMBER: _ClassVar[int]
    PROFILE_FIELD_NUMBER: _ClassVar[int]
    board_id: str
    consumed: bool
    inches: InchSize
    metric: MetricSize
    pieces: int
    profile: _board_pb2.Board
    def __init__(self, board_id: _Optional[str] = ..., inches: _Optional[_Union[InchSize, _Mapping]] = ..., metric: _Optional[_Union[MetricSize, _Mapping]] = ..., profile: _Optional[_Union[_board_pb2.Board, _Mapping]] = ..., pieces: _Optional[int] = ..., consumed: bool = ...) -> None: ...

class TallyRule(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class TallyBasis(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class TallyScope(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
