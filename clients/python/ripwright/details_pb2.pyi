from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class Any(_message.Message):
    __slots__ = ["type_url", "value"]
    TYPE_URL_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    type_url: str
    value: bytes
    def __init__(self, type_url: _Optional[str] = ..., value: _Optional[bytes] = ...) -> None: ...

class BadRequest(_message.Message):
    __slots__ = ["field_violations"]
    class FieldViolation(_message.Message):
        __slots__ = ["description", "field", "reason"]
        DESCRIPTION_FIELD_NUMBER: _ClassVar[int]
        FIELD_FIELD_NUMBER: _ClassVar[int]
        REASON_FIELD_NUMBER: _ClassVar[int]
        description: str
        field: str
        reason: str
        def __init__(self, field: _Optional[str] = ..., description: _Optional[str] = ..., reason: _Optional[str] = ...) -> None: ...
    FIELD_VIOLATIONS_FIELD_NUMBER: _ClassVar[int]
    field_violations: _containers.RepeatedCompositeFieldContainer[BadRequest.FieldViolation]
    def __init__(self, field_violations: _Optional[_Iterable[_Union[BadRequest.FieldViolation, _Mapping]]] = ...) -> None: ...

class Duration(_message.Message):
    __slots__ = ["nanos", "seconds"]
    NANOS_FIELD_NUMBER: _ClassVar[int]
    SECONDS_FIELD_NUMBER: _ClassVar[int]
    nanos: int
    seconds: int
    def __init__(self, seconds: _Optional[int] = ..., nanos: _Optional[int] = ...) -> None: ...

class ErrorInfo(_message.Message):
    __slots__ = ["domain", "reason"]
    DOMAIN_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    domain: str
    reason: str
    def __init__(self, reason: _Optional[str] = ..., domain: _Optional[str] = ...) -> None: ...

class RetryInfo(_message.Message):
    __slots__ = ["retry_delay"]
    RETRY_DELAY_FIELD_NUMBER: _ClassVar[int]
    retry_delay: Duration
    def __init__(self, retry_delay: _Optional[_Union[Duration, _Mapping]] = ...) -> None: ...

class Status(_message.Message):
    __slots__ = ["code", "details", "message"]
    CODE_FIELD_NUMBER: _ClassVar[int]
    DETAILS_FIELD_NUMBER: _ClassVar[int]
    MESSAGE_FIELD_NUMBER: _ClassVar[int]
    code: int
    details: _containers.RepeatedCompositeFieldContainer[Any]
    message: str
    def __init__(self, code: _Optional[int] = ..., message: _Optional[str] = ..., details: _Optional[_Iterable[_Union[Any, _Mapping]]] = ...) -> None: ...
