package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"os"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/mapping"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// replicas gives what begins a stream on the next replica each time.
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

func dialing(s *mapping.Service) ([]grpc.DialOption, error) {
	secured := s.TLS || s.CA != ""
	options := []grpc.DialOption{grpc.WithTransportCredentials(insecure.NewCredentials())}
	if secured {
		cfg := &tls.Config{MinVersion: tls.VersionTLS13}
		if s.CA != "" {
			text, err := os.ReadFile(s.CA)
			if err != nil {
				return nil, fmt.Errorf("service.ca: %w", err)
			}
			if cfg.RootCAs = x509.NewCertPool(); !cfg.RootCAs.AppendCertsFromPEM(text) {
				return nil, fmt.Errorf("service.ca: %s holds no certificate in PEM form", s.CA)
			}
		}
		options[0] = grpc.WithTransportCredentials(credentials.NewTLS(cfg))
	}
	if s.TokenFile == "" {
		return options, nil
	}
	for _, at := range s.Addresses {
		if !secured && !loopback(at) {
			return nil, fmt.Errorf("service.token_file: the token would go in the open to %s; set service.tls or service.ca", at)
		}
	}
	text, err := os.ReadFile(s.TokenFile)
	if err != nil {
		return nil, fmt.Errorf("service.token_file: %w", err)
	}
	token := strings.TrimSpace(string(text))
	if token == "" {
		return nil, errors.New("service.token_file: the file is empty")
	}
	return append(options, grpc.WithPerRPCCredentials(bearer{token, secured})), nil
}

// loopback reports whether what is sent to an address stays on this machine.
func loopback(at string) bool {
	host, _, err := net.SplitHostPort(at)
	ip := net.ParseIP(host)
	return err == nil && (host == "localhost" || ip != nil && ip.IsLoopback())
}

// bearer sends a token with every call.
type bearer struct {
	token   string
	secured bool
}

func (b bearer) GetRequestMetadata(context.Context, ...string) (map[string]string, error) {
	return map[string]string{"authorization": "Bearer " + b.token}, nil
}

// RequireTransportSecurity makes sure that nothing changes its mind about TLS.
func (b bearer) RequireTransportSecurity() bool { return b.secured }

// setUp makes the message that begins the run.
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
		return nil, fmt.Errorf("saw_file: %s holds %d saws, and has to hold one", m.SawFile, n)
	}
	saw := &ripwrightv1.Saw{}
	if err := f.Into(0, saw); err != nil {
		return nil, fmt.Errorf("saw_file: %w", err)
	}
	s.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: saw}
	return s, nil
}
