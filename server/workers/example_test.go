package workers_test

import (
	"context"
	"fmt"
	"time"

	"github.com/ripwright/ripwright/server/workers"
)

// A call's work on one worker, spread over the others while they are free.
func ExampleWorkers() {
	w := workers.New(workers.Config{Workers: 2, Waiting: 4}, workers.Unwatched{}, time.Now)
	squares := make([]int, 5)
	err := w.Do(context.Background(), "QuoteOrder", 0, func() error {
		w.Each(len(squares), func(i int) { squares[i] = i * i })
		return nil
	})
	fmt.Println(squares, err)
	// Output: [0 1 4 9 16] <nil>
}
