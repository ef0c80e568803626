from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Optional as _Optional

DESCRIPTOR: _descriptor.FileDescriptor

class SolveOptions(_message.Message):
    __slots__ = ["price_per_saw_hour", "runners_up", "time_limit_ms", "work_limit"]
    PRICE_PER_SAW_HOUR_FIELD_NUMBER: _ClassVar[int]
    RUNNERS_UP_FIELD_NUMBER: _ClassVar[int]
    TIME_LIMIT_MS_FIELD_NUMBER: _ClassVar[int]
    WORK_LIMIT_FIELD_NUMBER: _ClassVar[int]
    price_per_saw_hour: float
    runners_up: int
    time_limit_ms: float
    work_limit: float
    def __init__(self, runners_up: _Optional[int] = ..., time_limit_ms: _Optional[float] = ..., work_limit: _Optional[float] = ..., price_per_saw_hour: _Optional[float] = ...) -> None: ...
