package app

import (
	"context"
	"testing"
	"time"

	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/server/arrival"
)

// A call's request had come before it is decoded, whatever that takes.
func TestArriving(t *testing.T) {
	var began, came time.Time
	d := &grpc.ServiceDesc{Methods: []grpc.MethodDesc{{Handler: func(_ any, ctx context.Context, decode func(any) error, _ grpc.UnaryServerInterceptor) (any, error) {
		err := decode(nil)
		came = arrival.Of(ctx, time.Now())
		return nil, err
	}}}}
	_, err := arriving(d).Methods[0].Handler(nil, context.Background(), func(any) error {
		began = time.Now()
		return nil
	}, nil)
	if err != nil || came.After(began) || came.IsZero() {
		t.Errorf("came at %v, decoded from %v on: %v", came, began, err)
	}
}
