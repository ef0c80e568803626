package trial

import (
	"testing"

	"github.com/bufbuild/protocompile"
	"google.golang.org/genproto/googleapis/api/annotations"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// The google/api files with which the schema is generated, and the google/rpc files with
// which clients read errors, agree with the Go packages with which the service is
// compiled.
func TestVendoredDescriptors(t *testing.T) {
	c := protocompile.Compiler{Resolver: protocompile.WithStandardImports(
		&protocompile.SourceResolver{ImportPaths: []string{"../../proto/third_party"}})}
	for path, want := range map[string]protoreflect.FileDescriptor{
		"google/api/http.proto":          annotations.File_google_api_http_proto,
		"google/api/annotations.proto":   annotations.File_google_api_annotations_proto,
		"google/rpc/status.proto":        status.File_google_rpc_status_proto,
		"google/rpc/error_details.proto": errdetails.File_google_rpc_error_details_proto,
	} {
		files, err := c.Compile(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		got := protodesc.ToFileDescriptorProto(files[0])
		if w := protodesc.ToFileDescriptorProto(want); !proto.Equal(got, w) {
			t.Errorf("%s differs from the Go package's:\n%v\n%v", path, got, w)
		}
	}
}
