package main

import (
	"net/http"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// failure is a status that calls end with, and why.
type failure struct {
	code codes.Code
	name string // as gRPC writes it
	when string
	of   func(protoreflect.MethodDescriptor) bool // nil: any call
}

// status is the HTTP status that JSON callers get.
func (f failure) status() int { return runtime.HTTPStatusFromCode(f.code) }

var failures = []failure{
	{codes.InvalidArgument, "INVALID_ARGUMENT", "Something in the request is wrong, or it has a field that this release does not know. A `google.rpc.BadRequest` names each wrong field by its path (`order.items[2].width_mm`), up to 24 of them, and says what would be right. The same request is refused again.", nil},
	{codes.Unauthenticated, "UNAUTHENTICATED", "The service needs a token, and the call has none or a wrong one.", nil},
	{codes.PermissionDenied, "PERMISSION_DENIED", "The token lacks the scope that the call needs; or, over HTTP, a page of another site asks.", nil},
	{codes.NotFound, "NOT_FOUND", "The server's saw file has no saw of that `saw_name`; a `google.rpc.ResourceInfo` names it.", namesSaw},
	{codes.AlreadyExists, "ALREADY_EXISTS", "The `confirmation_id` was used for a confirmation with other content.", func(m protoreflect.MethodDescriptor) bool { return m.Input().Fields().ByName("confirmation_id") != nil }},
	{codes.FailedPrecondition, "FAILED_PRECONDITION", "A message's `sequence` is not the next one, or the state to resume from is of another release; it ends the stream.", func(m protoreflect.MethodDescriptor) bool { return m.IsStreamingClient() }},
	{codes.ResourceExhausted, "RESOURCE_EXHAUSTED", "Too much is waiting, or the caller has as much under way as its limits allow. Send it again after the time in the `google.rpc.RetryInfo` (for JSON callers also in `Retry-After`), while there is time.", nil},
	{codes.DeadlineExceeded, "DEADLINE_EXCEEDED", "The caller's deadline passed before anything was ready. A search that has begun answers within the deadline with the best that it has.", nil},
	{codes.Canceled, "CANCELLED", "The caller cancelled the call.", nil},
	{codes.Unavailable, "UNAVAILABLE", "The service cannot be reached, or is stopping. Send it again, to another replica if there is one.", nil},
	{codes.Internal, "INTERNAL", "A fault of the service; its log has the details.", nil},
}

// webFailures are those that only JSON callers meet; their code is INVALID_ARGUMENT too.
var webFailures = map[int]string{
	http.StatusRequestEntityTooLarge: "The body has more bytes than `max-body` allows, 4194304 unless set otherwise.",
	http.StatusUnsupportedMediaType:  "The header `Content-Type` is missing or is not `application/json` in UTF-8.",
	http.StatusMisdirectedRequest:    "The `Host` is not a name of the service; its setting `hosts` lists further names.",
}

// failuresOf lists the failures of a call.
func failuresOf(m protoreflect.MethodDescriptor) (all []failure) {
	for _, f := range failures {
		if f.of == nil || f.of(m) {
			all = append(all, f)
		}
	}
	return all
}

// namesSaw reports whether a request can name a saw.
func namesSaw(m protoreflect.MethodDescriptor) bool {
	for i := range m.Input().Fields().Len() {
		if inner := m.Input().Fields().Get(i).Message(); inner != nil && inner.Fields().ByName("saw_name") != nil {
			return true
		}
	}
	return m.Input().Fields().ByName("saw_name") != nil
}

// failureSchema describes the body of every error: google.rpc.Status as JSON.
var failureSchema = object{
	{"type", "object"},
	{"description", "Why a call failed."},
	{"properties", object{
		{"code", object{{"type", "integer"}, {"description", "The number of the gRPC status: 3 is INVALID_ARGUMENT."}}},
		{"message", object{{"type", "string"}, {"description", "What is wrong, for people."}}},
		{"details", object{{"type", "array"}, {"description", "The same for programs."}, {"items", object{{"anyOf", list{
			detail("BadRequest", "Every wrong field, up to 24.", object{{"field_violations", object{{"type", "array"}, {"items", object{
				{"type", "object"},
				{"properties", object{
					{"field", object{{"type", "string"}, {"description", "Its path: order.items[2].width_mm."}}},
					{"description", object{{"type", "string"}, {"description", "What is wrong and what would be right."}}},
					{"reason", object{{"type", "string"}, {"description", "What kind of fault it is: a word of FaultReason without its prefix, such as OUT_OF_RANGE. Accept words that you do not know."}}},
				}},
				{"required", list{"field", "description", "reason"}},
			}}}}}),
			detail("ErrorInfo", "Why the call ended; every error has one.", object{
				{"reason", object{{"type", "string"}, {"description", "A word of ErrorReason without its prefix, such as WRONG_FIELDS. Accept words that you do not know."}}},
				{"domain", object{{"const", "ripwright"}}}}),
			detail("RetryInfo", "When to send it again.", object{{"retry_delay", object{{"type", "string"}, {"description", "From now, in seconds: 0.250s."}}}}),
			detail("ResourceInfo", "The saw that does not exist.", object{
				{"resource_type", object{{"type", "string"}}}, {"resource_name", object{{"type", "string"}}}}),
		}}}}}},
	}},
	{"required", list{"code", "message", "details"}},
}

func detail(name, about string, fields object) object {
	fields = append(object{{"@type", object{{"const", "type.googleapis.com/google.rpc." + name}}}}, fields...)
	return object{{"type", "object"}, {"description", about}, {"properties", fields}, {"required", list{"@type"}}}
}
