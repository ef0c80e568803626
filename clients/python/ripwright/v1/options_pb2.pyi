from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
ITEM_DETAIL_ALL: ItemDetail
ITEM_DETAIL_CHANGED: ItemDetail
ITEM_DETAIL_NONE: ItemDetail
ITEM_DETAIL_UNSPECIFIED: ItemDetail
PLAN_DETAIL_FULL: PlanDetail
PLAN_DETAIL_POCKETS: PlanDetail
PLAN_DETAIL_UNSPECIFIED: PlanDetail

class AnswerDetail(_message.Message):
    __slots__ = ["fills", "plans", "values"]
    FILLS_FIELD_NUMBER: _ClassVar[int]
    PLANS_FIELD_NUMBER: _ClassVar[int]
    VALUES_FIELD_NUMBER: _ClassVar[int]
    fills: ItemDetail
    plans: PlanDetail
    values: ItemDetail
    def __init__(self, fills: _Optional[_Union[ItemDetail, str]] = ..., values: _Optional[_Union[ItemDetail, str]] = ..., plans: _Optional[_Union[PlanDetail, str]] = ...) -> None: ...

class SolveOptions(_message.Message):
    __slots__ = ["detail", "price_per_saw_hour", "runners_up", "time_limit_ms", "work_limit"]
    DETAIL_FIELD_NUMBER: _ClassVar[int]
    PRICE_PER_SAW_HOUR_FIELD_NUMBER: _ClassVar[int]
    RUNNERS_UP_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    WORK_LIMIT_FIELD_NUMBER: _ClassVar[int]
    detail: AnswerDetail
    price_per_saw_hour: float
    runners_up: int
    time_limit_ms: float
    work_limit: float
    def __init__(self, runners_up: _Optional[int] = ..., time_limit_ms: _Optional[float] = ..., work_limit: _Optional[float] = ..., price_per_saw_hour: _Optional[float] = ..., detail: _Optional[_Union[AnswerDetail, _Mapping]] = ...) -> None: ...

class ItemDetail(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class PlanDetail(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
