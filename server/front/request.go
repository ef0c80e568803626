package front

import (
	"fmt"
	"net/http"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/genproto/googleapis/api/annotations"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// named is the caller's name for the call, as metadata.
func named(r *http.Request) metadata.MD {
	out := metadata.MD{}
	for _, key := range []string{guard.RequestID, guard.Traceparent} {
		if v := guard.ID(r.Header.Get(key)); v != "" {
			out.Set(key, v)
		}
	}
	return out
}

// echoing returns the caller's name for a call with the answer, whatever that is.
func echoing(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if id := guard.ID(r.Header.Get(guard.RequestID)); id != "" {
			w.Header().Set("X-Request-Id", id)
		}
		next.ServeHTTP(w, r)
	})
}

// gets are the calls whose requests are passed in the query, by path.
var gets = func() map[string]protoreflect.MessageDescriptor {
	all := map[string]protoreflect.MessageDescriptor{}
	protoregistry.GlobalFiles.RangeFilesByPackage("ripwright.v1", func(f protoreflect.FileDescriptor) bool {
		for i := range f.Services().Len() {
			for k := range f.Services().Get(i).Methods().Len() {
				m := f.Services().Get(i).Methods().Get(k)
				if rule, ok := proto.GetExtension(m.Options(), annotations.E_Http).(*annotations.HttpRule); ok && rule.GetGet() != "" {
					all[rule.GetGet()] = m.Input()
				}
			}
		}
		return true
	})
	return all
}()

// asked refuses a query with fields that the call does not have, and any query of a call
// that takes none. The gateway would ignore them.
func asked(calls *runtime.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var l fault.List
		fields := gets[r.URL.Path]
		for name := range r.URL.Query() {
			switch {
			case fields == nil:
				l.Because(fault.UnknownField, short(name), "is in the query; the call takes its request as the body")
			case fields.Fields().ByName(protoreflect.Name(name)) == nil && fields.Fields().ByJSONName(name) == nil:
				l.Because(fault.UnknownField, short(name), "%s", fmt.Sprintf("is not a field of %s", fields.Name()))
			}
		}
		if len(l) > 0 {
			onError(r.Context(), calls, newCodec(), w, r, refuse.Faults(l))
			return
		}
		calls.ServeHTTP(w, r)
	})
}

// method is the HTTP method that a path takes.
func method(path string) string {
	if gets[path] != nil {
		return http.MethodGet
	}
	return http.MethodPost
}
