from ripwright.v1 import tally_pb2 as _tally_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
FINDING_KIND_NARROW: FindingKind
FINDING_KIND_SCANT: FindingKind
FINDING_KIND_SHORT: FindingKind
FINDING_KIND_UNSPECIFIED: FindingKind
MOISTURE_EQUATION_COEFFICIENT: MoistureEquation
MOISTURE_EQUATION_GREEN_OVENDRY: MoistureEquation
MOISTURE_EQUATION_NONE: MoistureEquation
MOISTURE_EQUATION_UNSPECIFIED: MoistureEquation
TALLY_VERDICT_AGREES: TallyVerdict
TALLY_VERDICT_EXCEEDS: TallyVerdict
TALLY_VERDICT_LACKS: TallyVerdict
TALLY_VERDICT_UNSPECIFIED: TallyVerdict

class BoardFinding(_message.Message):
    __slots__ = ["board_id", "index", "kind", "measured_mm", "min_mm"]
    BOARD_ID_FIELD_NUMBER: _ClassVar[int]
    INDEX_FIELD_NUMBER: _ClassVar[int]
    KIND_FIELD_NUMBER: _ClassVar[int]
    MEASURED_MM_FIELD_NUMBER: _ClassVar[int]
    MIN_MM_FIELD_NUMBER: _ClassVar[int]
    board_id: str
    index: int
    kind: FindingKind
    measured_mm: float
    min_mm: float
    def __init__(self, index: _Optional[int] = ..., board_id: _Optional[str] = ..., kind: _Optional[_Union[FindingKind, str]] = ..., measured_mm: _Optional[float] = ..., min_mm: _Optional[float] = ...) -> None: ...

class LeftInPack(_message.Message):
    __slots__ = ["board_feet", "boards", "from_tally", "max_board_feet", "min_board_feet", "over_board_feet", "supplier_record_used", "value"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    FROM_TALLY_FIELD_NUMBER: _ClassVar[int]
    MAX_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    MIN_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    OVER_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    SUPPLIER_RECORD_USED_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    board_feet: float
    boards: int
    from_tally: bool
    max_board_feet: float
    min_board_feet: float
    over_board_feet: float
    supplier_record_used: bool
    value: float
    def __init__(self, board_feet: _Optional[float] = ..., min_board_feet: _Optional[float] = ..., max_board_feet: _Optional[float] = ..., over_board_feet: _Optional[float] = ..., boards: _Optional[int] = ..., value: _Optional[float] = ..., from_tally: bool = ..., supplier_record_used: bool = ...) -> None: ...

class MoistureChange(_message.Message):
    __slots__ = ["equation", "flat_sawn_board_feet", "radial_percent", "tangential_percent", "volumetric_percent"]
    EQUATION_FIELD_NUMBER: _ClassVar[int]
    FLAT_SAWN_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    RADIAL_PERCENT_FIELD_NUMBER: _ClassVar[int]
    TANGENTIAL_PERCENT_FIELD_NUMBER: _ClassVar[int]
    VOLUMETRIC_PERCENT_FIELD_NUMBER: _ClassVar[int]
    equation: MoistureEquation
    flat_sawn_board_feet: float
    radial_percent: float
    tangential_percent: float
    volumetric_percent: float
    def __init__(self, radial_percent: _Optional[float] = ..., tangential_percent: _Optional[float] = ..., volumetric_percent: _Optional[float] = ..., equation: _Optional[_Union[MoistureEquation, str]] = ..., flat_sawn_board_feet: _Optional[float] = ...) -> None: ...

class PackAccount(_message.Message):
    __slots__ = ["boards", "comparison", "figures", "findings", "grade", "left", "max_board_feet", "measured_board_feet", "min_board_feet", "moisture_change", "nominal_thickness_in", "pack_id", "species", "supplier", "tallied_board_feet", "tallied_boards"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    COMPARISON_FIELD_NUMBER: _ClassVar[int]
    FIGURES_FIELD_NUMBER: _ClassVar[int]
    FINDINGS_FIELD_NUMBER: _ClassVar[int]
    GRADE_FIELD_NUMBER: _ClassVar[int]
    LEFT_FIELD_NUMBER: _ClassVar[int]
    MAX_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    MEASURED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    MIN_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    MOISTURE_CHANGE_FIELD_NUMBER: _ClassVar[int]
    NOMINAL_THICKNESS_IN_FIELD_NUMBER: _ClassVar[int]
    PACK_ID_FIELD_NUMBER: _ClassVar[int]
    SPECIES_FIELD_NUMBER: _ClassVar[int]
    SUPPLIER_FIELD_NUMBER: _ClassVar[int]
    TALLIED_BOARDS_FIELD_NUMBER: _ClassVar[int]
    TALLIED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    boards: int
    comparison: TallyComparison
    figures: _containers.RepeatedCompositeFieldContainer[TallyFigure]
    findings: _containers.RepeatedCompositeFieldContainer[BoardFinding]
    grade: str
    left: LeftInPack
    max_board_feet: float
    measured_board_feet: float
    min_board_feet: float
    moisture_change: MoistureChange
    nominal_thickness_in: float
    pack_id: str
    species: str
    supplier: str
    tallied_board_feet: float
    tallied_boards: int
    def __init__(self, pack_id: _Optional[str] = ..., supplier: _Optional[str] = ..., species: _Optional[str] = ..., grade: _Optional[str] = ..., nominal_thickness_in: _Optional[float] = ..., boards: _Optional[int] = ..., figures: _Optional[_Iterable[_Union[TallyFigure, _Mapping]]] = ..., measured_board_feet: _Optional[float] = ..., min_board_feet: _Optional[float] = ..., max_board_feet: _Optional[float] = ..., tallied_board_feet: _Optional[float] = ..., tallied_boards: _Optional[int] = ..., comparison: _Optional[_Union[TallyComparison, _Mapping]] = ..., findings: _Optional[_Iterable[_Union[BoardFinding, _Mapping]]] = ..., left: _Optional[_Union[LeftInPack, _Mapping]] = ..., moisture_change: _Optional[_Union[MoistureChange, _Mapping]] = ...) -> None: ...

class SupplierAccuracy(_message.Message):
    __slots__ = ["level", "mean_lower_percent", "mean_percent", "mean_upper_percent", "measured_board_feet", "packs", "sd_percent", "supplier", "tallied_board_feet", "trend_percent_per_pack", "trend_se_percent_per_pack"]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    MEAN_LOWER_PERCENT_FIELD_NUMBER: _ClassVar[int]
    MEAN_PERCENT_FIELD_NUMBER: _ClassVar[int]
    MEAN_UPPER_PERCENT_FIELD_NUMBER: _ClassVar[int]
    MEASURED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    PACKS_FIELD_NUMBER: _ClassVar[int]
    SD_PERCENT_FIELD_NUMBER: _ClassVar[int]
    SUPPLIER_FIELD_NUMBER: _ClassVar[int]
    TALLIED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    TREND_PERCENT_PER_PACK_FIELD_NUMBER: _ClassVar[int]
    TREND_SE_PERCENT_PER_PACK_FIELD_NUMBER: _ClassVar[int]
    level: float
    mean_lower_percent: float
    mean_percent: float
    mean_upper_percent: float
    measured_board_feet: float
    packs: int
    sd_percent: float
    supplier: str
    tallied_board_feet: float
    trend_percent_per_pack: float
    trend_se_percent_per_pack: float
    def __init__(self, supplier: _Optional[str] = ..., packs: _Optional[int] = ..., mean_percent: _Optional[float] = ..., sd_percent: _Optional[float] = ..., trend_percent_per_pack: _Optional[float] = ..., trend_se_percent_per_pack: _Optional[float] = ..., tallied_board_feet: _Optional[float] = ..., measured_board_feet: _Optional[float] = ..., mean_lower_percent: _Optional[float] = ..., mean_upper_percent: _Optional[float] = ..., level: _Optional[float] = ...) -> None: ...

class TallyComparison(_message.Message):
    __slots__ = ["difference_board_feet", "difference_money", "difference_percent", "explained_lacking_board_feet", "explained_surplus_board_feet", "verdict"]
    DIFFERENCE_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    DIFFERENCE_MONEY_FIELD_NUMBER: _ClassVar[int]
    DIFFERENCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    EXPLAINED_LACKING_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    EXPLAINED_SURPLUS_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    VERDICT_FIELD_NUMBER: _ClassVar[int]
    difference_board_feet: float
    difference_money: float
    difference_percent: float
    explained_lacking_board_feet: float
    explained_surplus_board_feet: float
    verdict: TallyVerdict
    def __init__(self, difference_board_feet: _Optional[float] = ..., difference_percent: _Optional[float] = ..., difference_money: _Optional[float] = ..., explained_lacking_board_feet: _Optional[float] = ..., explained_surplus_board_feet: _Optional[float] = ..., verdict: _Optional[_Union[TallyVerdict, str]] = ...) -> None: ...

class TallyFigure(_message.Message):
    __slots__ = ["cubic_metres", "exact_board_feet", "gross_board_feet", "net_board_feet", "rule"]
    CUBIC_METRES_FIELD_NUMBER: _ClassVar[int]
    EXACT_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    GROSS_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    NET_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    RULE_FIELD_NUMBER: _ClassVar[int]
    cubic_metres: float
    exact_board_feet: str
    gross_board_feet: float
    net_board_feet: float
    rule: _tally_pb2.TallyRule
    def __init__(self, rule: _Optional[_Union[_tally_pb2.TallyRule, str]] = ..., gross_board_feet: _Optional[float] = ..., net_board_feet: _Optional[float] = ..., cubic_metres: _Optional[float] = ..., exact_board_feet: _Optional[str] = ...) -> None: ...

class TallyGroup(_message.Message):
    __slots__ = ["boards", "compared_packs", "difference_board_feet", "difference_money", "grade", "left_board_feet", "left_unknown_packs", "left_value", "measured_board_feet", "nominal_thickness_in", "packs", "species", "tallied_board_feet"]
    BOARDS_FIELD_NUMBER: _ClassVar[int]
    COMPARED_PACKS_FIELD_NUMBER: _ClassVar[int]
    DIFFERENCE_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    DIFFERENCE_MONEY_FIELD_NUMBER: _ClassVar[int]
    GRADE_FIELD_NUMBER: _ClassVar[int]
    LEFT_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    LEFT_UNKNOWN_PACKS_FIELD_NUMBER: _ClassVar[int]
    LEFT_VALUE_FIELD_NUMBER: _ClassVar[int]
    MEASURED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    NOMINAL_THICKNESS_IN_FIELD_NUMBER: _ClassVar[int]
    PACKS_FIELD_NUMBER: _ClassVar[int]
    SPECIES_FIELD_NUMBER: _ClassVar[int]
    TALLIED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    boards: int
    compared_packs: int
    difference_board_feet: float
    difference_money: float
    grade: str
    left_board_feet: float
    left_unknown_packs: int
    left_value: float
    measured_board_feet: float
    nominal_thickness_in: float
    packs: int
    species: str
    tallied_board_feet: float
    def __init__(self, species: _Optional[str] = ..., grade: _Optional[str] = ..., nominal_thickness_in: _Optional[float] = ..., packs: _Optional[int] = ..., boards: _Optional[int] = ..., measured_board_feet: _Optional[float] = ..., tallied_board_feet: _Optional[float] = ..., compared_packs: _Optional[int] = ..., difference_board_feet: _Optional[float] = ..., difference_money: _Optional[float] = ..., left_board_feet: _Optional[float] = ..., left_value: _Optional[float] = ..., left_unknown_packs: _Optional[int] = ...) -> None: ...

class TallyVerdict(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class FindingKind(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class MoistureEquation(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
