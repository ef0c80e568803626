package main

import (
	"context"
	"errors"
	"fmt"

	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/internal/access"
	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/mapping"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// replicas gives a function that opens a stream on the next replica each time.
func replicas(s *mapping.Service) (func(context.Context) (session.Stream, error), func(), error) {
	options, err := dialing(s)
	if err != nil {
		return nil, nil, err
	}
	var clients []ripwrightv1.RipServiceClient
	var conns []*grpc.ClientConn
	for _, at := range s.Addresses {
		conn, err := grpc.NewClient(at, options...)
		if err != nil {
			return nil, nil, fmt.Errorf("service.addresses: %s: %w", at, err)
		}
		conns = append(conns, conn)
		clients = append(clients, ripwrightv1.NewRipServiceClient(conn))
	}
	n := -1
	stream := func(ctx context.Context) (session.Stream, error) {
		n++
		return clients[n%len(clients)].RunLine(ctx)
	}
	return stream, func() {
		for _, c := range conns {
			_ = c.Close()
		}
	}, nil
}

// settings name the parts of an access; the bridge has no certificate of its own.
//
//exhaustive:ignore
var settings = map[access.Part]string{access.CA: "service.ca", access.Token: "service.token_file"}

// dialing gives the options for connections to the service.
func dialing(s *mapping.Service) ([]grpc.DialOption, error) {
	a := access.Access{TLS: s.TLS, CA: s.CA, TokenFile: s.TokenFile}
	options, err := a.Dialing(s.Addresses...)
	var f *access.Fault
	switch {
	case errors.Is(err, access.ErrOpen):
		return nil, fmt.Errorf("service.token_file: %w; set service.tls or service.ca", err)
	case errors.As(err, &f):
		return nil, fmt.Errorf("%s: %w", settings[f.Part], err)
	}
	return options, err
}

// setUp makes the message that starts the run.
func setUp(m *mapping.Mapping) (*ripwrightv1.LineSetUp, error) {
	s := &ripwrightv1.LineSetUp{RunId: m.Run, Order: &ripwrightv1.CutOrder{}, BoardsInFlight: &m.BoardsInFlight}
	if m.TurnBoards {
		s.Options = &ripwrightv1.SolveOptions{TurnBoards: true}
	}
	f, err := files.Open(m.OrderFile, files.Order, nil)
	if err != nil {
		return nil, fmt.Errorf("order_file: %w", err)
	}
	if err := f.Into(0, s.Order); err != nil {
		return nil, fmt.Errorf("order_file: %w", err)
	}
	if m.SawName != "" {
		s.SawChoice = &ripwrightv1.LineSetUp_SawName{SawName: m.SawName}
		return s, nil
	}
	if f, err = files.Open(m.SawFile, files.Saws, nil); err != nil {
		return nil, fmt.Errorf("saw_file: %w", err)
	}
	if n := len(f.Messages); n != 1 {
		return nil, fmt.Errorf("saw_file: %s has %d saws; must have one", m.SawFile, n)
	}
	saw := &ripwrightv1.Saw{}
	if err := f.Into(0, saw); err != nil {
		return nil, fmt.Errorf("saw_file: %w", err)
	}
	s.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: saw}
	return s, nil
}
