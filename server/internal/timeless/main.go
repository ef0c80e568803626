// Command timeless is the service on a clock that stands: only limits of work end its
// searches, so its answers do not depend on the load of the machine. It serves gRPC on a
// free loopback port and writes which one to standard error, in the form of the service's
// log. SIGTERM, an interrupt or the end of its standard input, which a parent that has
// ended no longer holds open, ends it.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/signal"
	"syscall"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/proto/codec"
)

func main() {
	codec.Register()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, os.Stdin, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "timeless:", err)
		os.Exit(1)
	}
}

// run serves until ctx is done or parent has ended, and writes where it serves to log.
func run(ctx context.Context, parent io.Reader, log io.Writer) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	s, err := server(ctx)
	if err != nil {
		return err
	}
	at, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	go func() {
		_, _ = io.Copy(io.Discard, parent) // whatever ends it
		stop()
	}()
	defer context.AfterFunc(ctx, s.Stop)()
	zap.New(zapcore.NewCore(zapcore.NewJSONEncoder(zapcore.EncoderConfig{MessageKey: "msg"}), zapcore.AddSync(log), zap.InfoLevel)).
		Info("serving", zap.Stringer("grpc", at.Addr()))
	if err := s.Serve(at); !errors.Is(err, grpc.ErrServerStopped) { // it is that if stopped before it began
		return err
	}
	return nil
}
