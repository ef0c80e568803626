from ripwright.v1 import takes_pb2 as _takes_pb2
from ripwright.v1 import tally_pb2 as _tally_pb2
from ripwright.v1 import tally_account_pb2 as _tally_account_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

ALLOWANCE_CONVENTION_DIVIDE: AllowanceConvention
ALLOWANCE_CONVENTION_SUBTRACT: AllowanceConvention
ALLOWANCE_CONVENTION_UNSPECIFIED: AllowanceConvention
DESCRIPTOR: _descriptor.FileDescriptor
PROFILE_WIDTH_AT_THIRD: ProfileWidth
PROFILE_WIDTH_MEAN: ProfileWidth
PROFILE_WIDTH_MIN: ProfileWidth
PROFILE_WIDTH_UNSPECIFIED: ProfileWidth

class MoistureSpan(_message.Message):
    __slots__ = ["from_percent", "to_percent"]
    FROM_PERCENT_FIELD_NUMBER: _ClassVar[int]
    TO_PERCENT_FIELD_NUMBER: _ClassVar[int]
    from_percent: float
    to_percent: float
    def __init__(self, from_percent: _Optional[float] = ..., to_percent: _Optional[float] = ...) -> None: ...

class PastPack(_message.Message):
    __slots__ = ["measured_board_feet", "supplier", "tallied_board_feet"]
    MEASURED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    SUPPLIER_FIELD_NUMBER: _ClassVar[int]
    TALLIED_BOARD_FEET_FIELD_NUMBER: _ClassVar[int]
    measured_board_feet: float
    supplier: str
    tallied_board_feet: float
    def __init__(self, supplier: _Optional[str] = ..., tallied_board_feet: _Optional[float] = ..., measured_board_feet: _Optional[float] = ...) -> None: ...

class ReadingErrors(_message.Message):
    __slots__ = ["length_bias_mm", "length_sd_mm", "thickness_bias_mm", "thickness_sd_mm", "width_bias_mm", "width_sd_mm"]
    LENGTH_BIAS_MM_FIELD_NUMBER: _ClassVar[int]
    LENGTH_SD_MM_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_BIAS_MM_FIELD_NUMBER: _ClassVar[int]
    THICKNESS_SD_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_BIAS_MM_FIELD_NUMBER: _ClassVar[int]
    WIDTH_SD_MM_FIELD_NUMBER: _ClassVar[int]
    length_bias_mm: float
    length_sd_mm: float
    thickness_bias_mm: float
    thickness_sd_mm: float
    width_bias_mm: float
    width_sd_mm: float
    def __init__(self, width_sd_mm: _Optional[float] = ..., width_bias_mm: _Optional[float] = ..., length_sd_mm: _Optional[float] = ..., length_bias_mm: _Optional[float] = ..., thickness_sd_mm: _Optional[float] = ..., thickness_bias_mm: _Optional[float] = ...) -> None: ...

class ShrinkageAllowance(_message.Message):
    __slots__ = ["convention", "percent"]
    CONVENTION_FIELD_NUMBER: _ClassVar[int]
    PERCENT_FIELD_NUMBER: _ClassVar[int]
    convention: AllowanceConvention
    percent: float
    def __init__(self, convention: _Optional[_Union[AllowanceConvention, str]] = ..., percent: _Optional[float] = ...) -> None: ...

class SpeciesShrinkage(_message.Message):
    __slots__ = ["name", "radial_coefficient", "radial_percent", "tangential_coefficient", "tangential_percent", "volumetric_percent"]
    NAME_FIELD_NUMBER: _ClassVar[int]
    RADIAL_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    RADIAL_PERCENT_FIELD_NUMBER: _ClassVar[int]
    TANGENTIAL_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    TANGENTIAL_PERCENT_FIELD_NUMBER: _ClassVar[int]
    VOLUMETRIC_PERCENT_FIELD_NUMBER: _ClassVar[int]
    name: str
    radial_coefficient: float
    radial_percent: float
    tangential_coefficient: float
    tangential_percent: float
    volumetric_percent: float
    def __init__(self, name: _Optional[str] = ..., radial_percent: _Optional[float] = ..., tangential_percent: _Optional[float] = ..., volumetric_percent: _Optional[float] = ..., radial_coefficient: _Optional[float] = ..., tangential_coefficient: _Optional[float] = ...) -> None: ...

class TallyPackRequest(_message.Message):
    __slots__ = ["allowance", "basis", "currency", "lumber", "moisture", "packs", "past_packs", "profile_width", "reading_errors", "rule", "species"]
    ALLOWANCE_FIELD_NUMBER: _ClassVar[int]
    BASIS_FIELD_NUMBER: _ClassVar[int]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    LUMBER_FIELD_NUMBER: _ClassVar[int]
    MOISTURE_FIELD_NUMBER: _ClassVar[int]
    PACKS_FIELD_NUMBER: _ClassVar[int]
    PAST_PACKS_FIELD_NUMBER: _ClassVar[int]
    PROFILE_WIDTH_FIELD_NUMBER: _ClassVar[int]
    READING_ERRORS_FIELD_NUMBER: _ClassVar[int]
    RULE_FIELD_NUMBER: _ClassVar[int]
    SPECIES_FIELD_NUMBER: _ClassVar[int]
    allowance: ShrinkageAllowance
    basis: _tally_pb2.TallyBasis
    currency: str
    lumber: _containers.RepeatedCompositeFieldContainer[_tally_pb2.PackLumber]
    moisture: MoistureSpan
    packs: _containers.RepeatedCompositeFieldContainer[_tally_pb2.Pack]
    past_packs: _containers.RepeatedCompositeFieldContainer[PastPack]
    profile_width: ProfileWidth
    reading_errors: ReadingErrors
    rule: _tally_pb2.TallyRule
    species: _containers.RepeatedCompositeFieldContainer[SpeciesShrinkage]
    def __init__(self, packs: _Optional[_Iterable[_Union[_tally_pb2.Pack, _Mapping]]] = ..., rule: _Optional[_Union[_tally_pb2.TallyRule, str]] = ..., basis: _Optional[_Union[_tally_pb2.TallyBasis, str]] = ..., allowance: _Optional[_Union[ShrinkageAllowance, _Mapping]] = ..., reading_errors: _Optional[_Union[ReadingErrors, _Mapping]] = ..., profile_width: _Optional[_Union[ProfileWidth, str]] = ..., species: _Optional[_Iterable[_Union[SpeciesShrinkage, _Mapping]]] = ..., lumber: _Optional[_Iterable[_Union[_tally_pb2.PackLumber, _Mapping]]] = ..., past_packs: _Optional[_Iterable[_Union[PastPack, _Mapping]]] = ..., moisture: _Optional[_Union[MoistureSpan, _Mapping]] = ..., currency: _Optional[str] = ...) -> None: ...

class TallyPackResponse(_message.Message):
    __slots__ = ["all", "allowance", "basis", "currency", "groups", "packs", "profile_width", "reading_errors", "rule", "suppliers"]
    ALLOWANCE_FIELD_NUMBER: _ClassVar[int]
    ALL_FIELD_NUMBER: _ClassVar[int]
    BASIS_FIELD_NUMBER: _ClassVar[int]
    CURRENCY_FIELD_NUMBER: _ClassVar[int]
    GROUPS_FIELD_NUMBER: _ClassVar[int]
    PACKS_FIELD_NUMBER: _ClassVar[int]
    PROFILE_WIDTH_FIELD_NUMBER: _ClassVar[int]
    READING_ERRORS_FIELD_NUMBER: _ClassVar[int]
    RULE_FIELD_NUMBER: _ClassVar[int]
    SUPPLIERS_FIELD_NUMBER: _ClassVar[int]
    all: _tally_account_pb2.TallyGroup
    allowance: ShrinkageAllowance
    basis: _tally_pb2.TallyBasis
    currency: str
    groups: _containers.RepeatedCompositeFieldContainer[_tally_account_pb2.TallyGroup]
    packs: _containers.RepeatedCompositeFieldContainer[_tally_account_pb2.PackAccount]
    profile_width: ProfileWidth
    reading_errors: ReadingErrors
    rule: _tally_pb2.TallyRule
    suppliers: _containers.RepeatedCompositeFieldContainer[_tally_account_pb2.SupplierAccuracy]
    def __init__(self, rule: _Optional[_Union[_tally_pb2.TallyRule, str]] = ..., basis: _Optional[_Union[_tally_pb2.TallyBasis, str]] = ..., allowance: _Optional[_Union[ShrinkageAllowance, _Mapping]] = ..., reading_errors: _Optional[_Union[ReadingErrors, _Mapping]] = ..., profile_width: _Optional[_Union[ProfileWidth, str]] = ..., packs: _Optional[_Iterable[_Union[_tally_account_pb2.PackAccount, _Mapping]]] = ..., groups: _Optional[_Iterable[_Union[_tally_account_pb2.TallyGroup, _Mapping]]] = ..., all: _Optional[_Union[_tally_account_pb2.TallyGroup, _Mapping]] = ..., suppliers: _Optional[_Iterable[_Union[_tally_account_pb2.SupplierAccuracy, _Mapping]]] = ..., currency: _Optional[str] = ...) -> None: ...

class AllowanceConvention(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class ProfileWidth(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
