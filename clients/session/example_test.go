package session_test

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/clients/session"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// replica simulates a connection to the service: a program uses
// NewRipServiceClient(conn).RunLine in its place.
type replica struct {
	grpc.ClientStream
	answers int // it fails after that many
	asked   *ripwrightv1.RunLineRequest
}

func (r *replica) Send(m *ripwrightv1.RunLineRequest) error { r.asked = m; return nil }

func (r *replica) Recv() (*ripwrightv1.RunLineResponse, error) {
	if r.answers--; r.answers < 0 {
		return nil, status.Error(codes.Unavailable, "the replica is gone")
	}
	if m := r.asked.GetResume(); m != nil {
		fmt.Printf("resumed from %s\n", m.GetState())
		return &ripwrightv1.RunLineResponse{Sequence: 2, State: m.GetState()}, nil
	}
	return &ripwrightv1.RunLineResponse{Sequence: r.asked.GetSequence(), State: fmt.Appendf(nil, "state %d", r.asked.GetSequence())}, nil
}

// A replica fails while the third message is under way. The session moves the run to
// another one and sends that message again, so its caller gets every answer.
func Example() {
	replicas := []*replica{{answers: 2}, {answers: 9}}
	s := &session.Session{Within: time.Second, Patience: time.Minute,
		Dial: func(context.Context) (session.Stream, error) {
			r := replicas[0]
			replicas = replicas[1:]
			return r, nil
		},
		Broke: func(sequence int32, err error) {
			fmt.Printf("message %d: %s\n", sequence, status.Convert(err).Message())
		}}
	defer s.Close()
	for range 3 { // the set-up and two boards
		answer, err := s.Ask(context.Background(), &ripwrightv1.RunLineRequest{})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println("answer", answer.GetSequence())
	}
	// Output:
	// answer 1
	// answer 2
	// message 3: the replica is gone
	// resumed from state 2
	// answer 3
}
