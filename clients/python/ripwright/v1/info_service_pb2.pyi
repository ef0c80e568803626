from ripwright.v1 import saw_pb2 as _saw_pb2
from ripwright.v1 import takes_pb2 as _takes_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Iterable as _Iterable, Mapping as _Mapping, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
LIMIT_KIND_CHARACTERS: LimitKind
LIMIT_KIND_ENTRIES: LimitKind
LIMIT_KIND_NUMBER: LimitKind
LIMIT_KIND_UNSPECIFIED: LimitKind

class FieldLimit(_message.Message):
    __slots__ = ["above_min", "field", "kind", "max", "message", "min", "whole"]
    ABOVE_MIN_FIELD_NUMBER: _ClassVar[int]
    FIELD_FIELD_NUMBER: _ClassVar[int]
    KIND_FIELD_NUMBER: _ClassVar[int]
    MAX_FIELD_NUMBER: _ClassVar[int]
    MESSAGE_FIELD_NUMBER: _ClassVar[int]
    MIN_FIELD_NUMBER: _ClassVar[int]
    WHOLE_FIELD_NUMBER: _ClassVar[int]
    above_min: bool
    field: str
    kind: LimitKind
    max: float
    message: str
    min: float
    whole: bool
    def __init__(self, message: _Optional[str] = ..., field: _Optional[str] = ..., kind: _Optional[_Union[LimitKind, str]] = ..., min: _Optional[float] = ..., max: _Optional[float] = ..., above_min: bool = ..., whole: bool = ...) -> None: ...

class GetServerInfoRequest(_message.Message):
    __slots__ = []
    def __init__(self) -> None: ...

class GetServerInfoResponse(_message.Message):
    __slots__ = ["features", "limits", "max_request_bytes", "max_state_bytes", "preview_calls", "release"]
    FEATURES_FIELD_NUMBER: _ClassVar[int]
    LIMITS_FIELD_NUMBER: _ClassVar[int]
    MAX_REQUEST_BYTES_FIELD_NUMBER: _ClassVar[int]
    MAX_STATE_BYTES_FIELD_NUMBER: _ClassVar[int]
    PREVIEW_CALLS_FIELD_NUMBER: _ClassVar[int]
    RELEASE_FIELD_NUMBER: _ClassVar[int]
    features: _containers.RepeatedScalarFieldContainer[str]
    limits: _containers.RepeatedCompositeFieldContainer[FieldLimit]
    max_request_bytes: int
    max_state_bytes: int
    preview_calls: _containers.RepeatedScalarFieldContainer[str]
    release: str
    def __init__(self, release: _Optional[str] = ..., features: _Optional[_Iterable[str]] = ..., preview_calls: _Optional[_Iterable[str]] = ..., limits: _Optional[_Iterable[_Union[FieldLimit, _Mapping]]] = ..., max_request_bytes: _Optional[int] = ..., max_state_bytes: _Optional[int] = ...) -> None: ...

class ListSawsRequest(_message.Message):
    __slots__ = ["page_size", "page_token"]
    PAGE_SIZE_FIELD_NUMBER: _ClassVar[int]
    PAGE_TOKEN_FIELD_NUMBER: _ClassVar[int]
    page_size: int
    page_token: str
    def __init__(self, page_size: _Optional[int] = ..., page_token: _Optional[str] = ...) -> None: ...

class ListSawsResponse(_message.Message):
    __slots__ = ["next_page_token", "saws"]
    NEXT_PAGE_TOKEN_FIELD_NUMBER: _ClassVar[int]
    SAWS_FIELD_NUMBER: _ClassVar[int]
    next_page_token: str
    saws: _containers.RepeatedCompositeFieldContainer[ListedSaw]
    def __init__(self, saws: _Optional[_Iterable[_Union[ListedSaw, _Mapping]]] = ..., next_page_token: _Optional[str] = ...) -> None: ...

class ListedSaw(_message.Message):
    __slots__ = ["arbor_fingerprint", "saw", "saw_fingerprint"]
    ARBOR_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    SAW_FIELD_NUMBER: _ClassVar[int]
    SAW_FINGERPRINT_FIELD_NUMBER: _ClassVar[int]
    arbor_fingerprint: str
    saw: _saw_pb2.Saw
    saw_fingerprint: str
    def __init__(self, saw: _Optional[_Union[_saw_pb2.Saw, _Mapping]] = ..., arbor_fingerprint: _Optional[str] = ..., saw_fingerprint: _Optional[str] = ...) -> None: ...

class LimitKind(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
