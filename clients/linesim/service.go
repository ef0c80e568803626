package main

import (
	"os"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// longestAnswer is how long an answer may be, in bytes: longer than the 4 MiB that gRPC
// takes by itself.
const longestAnswer = 64 << 20

// program is a program that serves, by where its source is and how it is started.
type program struct {
	source string
	start  func(program string, args ...string) (*replicas.Replica, error)
}

var (
	usual = program{"./server", replicas.Launch}
	// timeless is the service on a clock that stands.
	timeless = program{"./server/internal/timeless", replicas.Start}
)

// service connects to the service at an address, or, if that is empty, to a program of
// its own. end closes the connection and stops what was started.
func service(at string, own program) (conn *grpc.ClientConn, end func(), err error) {
	kill := func() {}
	if at == "" {
		r, err := own.run()
		if err != nil {
			return nil, nil, err
		}
		at, kill = r.GRPC, r.Kill
	}
	conn, err = grpc.NewClient(at, grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(longestAnswer)))
	if err != nil {
		kill()
		return nil, nil, err
	}
	return conn, func() { _ = conn.Close(); kill() }, nil
}

// run builds the program and starts it.
func (p program) run() (*replicas.Replica, error) {
	dir, err := os.MkdirTemp("", "linesim")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a running program does not need its file
	file, err := replicas.Program(dir, p.source)
	if err != nil {
		return nil, err
	}
	return p.start(file)
}
