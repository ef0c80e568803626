package app_test

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
)

// A service on free ports runs until its context is done.
func ExampleNew() {
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 1, Waiting: 8, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		fmt.Println(err)
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	answer, err := http.Get("http://" + a.HTTP() + "/readyz")
	if err != nil {
		fmt.Println(err)
	} else {
		fmt.Println(answer.StatusCode)
		_ = answer.Body.Close()
	}
	stop()
	fmt.Println(<-ended)
	// Output:
	// 200
	// <nil>
}
