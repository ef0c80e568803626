package app

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/limit"
)

// impatient runs a server with short time limits on callers, each of whom may have one
// call.
func impatient(t *testing.T) *replica {
	noLeaks(t)
	r := run(t, loopback(Config{Drain: 10 * time.Second, Limits: limit.Config{CallerCalls: 1, Receive: time.Second, Send: time.Second}}))
	t.Cleanup(func() {
		r.stop()
		if err := <-r.ended; err != nil {
			t.Error(err)
		}
	})
	return r
}

// again calls until the caller's only call is free again.
func again(t *testing.T, r *replica) {
	t.Helper()
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	until(t, "a call to be taken", func() bool {
		_, err := ripwrightv1.NewRipServiceClient(conn).SolveBoard(t.Context(), request(t))
		return err == nil
	})
}

// A call whose request does not arrive ends, and frees its place.
func TestRequestsHaveToCome(t *testing.T) {
	r := impatient(t)
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	for _, method := range []string{ripwrightv1.RipService_SolveBoard_FullMethodName, ripwrightv1.RipService_RunLine_FullMethodName} {
		s, err := conn.NewStream(t.Context(), &grpc.StreamDesc{ClientStreams: true, ServerStreams: true}, method)
		if err != nil {
			t.Fatal(err)
		}
		err = s.RecvMsg(&ripwrightv1.SolveBoardResponse{})
		if details := fmt.Sprint(status.Convert(err).Details()); status.Code(err) != codes.Canceled || !strings.Contains(details, "CALL_ENDED") {
			t.Errorf("%s: %v %s", method, err, details)
		}
		again(t, r)
	}
}

// A line that has begun may be silent for any time.
func TestLinesMayRest(t *testing.T) {
	r := impatient(t)
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for n := range int32(2) {
		m := &ripwrightv1.RunLineRequest{Sequence: n + 1, Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}}
		if n == 0 {
			m.Message = &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{RunId: "rests", Order: request(t).GetOrder(),
				SawChoice: &ripwrightv1.LineSetUp_SawName{SawName: "plover"}}}
		}
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); err != nil {
			t.Fatalf("message %d: %v", n+1, err)
		}
		if n == 0 {
			time.Sleep(2 * time.Second) // longer than a first message may take
		}
	}
}

// A JSON call ends if its answers are not read.
func TestAnswersHaveToBeTaken(t *testing.T) {
	r := impatient(t)
	web, err := net.Dial("tcp", r.HTTP())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = web.Close() }()
	_ = web.(*net.TCPConn).SetReadBuffer(4096)                      // a hint only
	ask := "GET /v1/serverInfo HTTP/1.1\r\nHost: localhost\r\n\r\n" // 28 kB, computed at once
	for range 10_000 {                                              // until the answers fill what the network holds unread
		_ = web.SetWriteDeadline(time.Now().Add(2 * time.Second)) // the other direction fills up too
		if _, err := io.WriteString(web, ask); err != nil {
			break // or the server has hung up
		}
	}
	again(t, r)
	_ = web.SetReadDeadline(time.Now().Add(10 * time.Second)) // otherwise it would wait for ever
	from := bufio.NewReader(web)
	for {
		answer, err := http.ReadResponse(from, nil)
		if err != nil {
			return // the server has hung up
		}
		_, err = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close() // only part of it came
		if err != nil {
			return
		}
	}
}

// A caller that has the answer of its only call may call again at once.
func TestOneCallAfterTheOther(t *testing.T) {
	noLeaks(t)
	r := run(t, loopback(Config{Drain: 10 * time.Second, Limits: limit.Config{CallerCalls: 1}}))
	defer func() {
		r.stop()
		if err := <-r.ended; err != nil {
			t.Error(err)
		}
	}()
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	client := ripwrightv1.NewRipServiceClient(conn)
	for n := range 300 {
		if _, err := client.SolveBoard(t.Context(), request(t)); err != nil {
			t.Fatalf("call %d: %v", n+1, err)
		}
	}
}
