package explain_test

import (
	"context"
	"fmt"
	"net"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/types/known/emptypb"

	"github.com/ripwright/ripwright/server/explain"
)

// A call that a server does not have: gRPC alone answers it, and its caller still gets a
// reason to switch on.
func ExampleCredentials() {
	pipe := bufconn.Listen(1 << 16)
	server := grpc.NewServer(grpc.Creds(explain.Credentials(insecure.NewCredentials())))
	served := make(chan error, 1)
	go func() { served <- server.Serve(pipe) }()
	defer func() {
		server.Stop()
		if err := <-served; err != nil {
			fmt.Println(err)
		}
	}()
	conn, err := grpc.NewClient("passthrough:///example", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return pipe.DialContext(ctx) }))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = conn.Close() }()
	s := status.Convert(conn.Invoke(context.Background(), "/ripwright.v1.RipService/PlaneBoard", &emptypb.Empty{}, &emptypb.Empty{}))
	fmt.Println(s.Code())
	for _, d := range s.Details() {
		if info, is := d.(*errdetails.ErrorInfo); is {
			fmt.Println(info.GetReason())
		}
	}
	// Output:
	// Unimplemented
	// UNKNOWN_CALL
}
