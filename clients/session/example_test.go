package session_test

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/session"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A run on a service that may be restarted under it.
func Example() {
	conn, err := grpc.NewClient("127.0.0.1:7420", grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = conn.Close() }()
	s := &session.Session{Within: time.Second, Patience: time.Minute,
		Dial: func(ctx context.Context) (session.Stream, error) {
			return ripwrightv1.NewRipServiceClient(conn).RunLine(ctx)
		}}
	defer s.Close()
	answer, err := s.Ask(context.Background(), &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{
		SetUp: &ripwrightv1.LineSetUp{RunId: "shift-1", SawChoice: &ripwrightv1.LineSetUp_SawName{SawName: "heron"}, Order: &ripwrightv1.CutOrder{}}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(answer.GetStarted().GetReady().GetSawName())
}
