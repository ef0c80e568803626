package orders

// result is the result of one of many runs.
type result[T any] struct {
	of  T
	err error
}

// inTurns does n runs, a number of them together, and gives a channel for each one's
// result.
func inTurns[T any](n, together int, run func(i int) (T, error)) []chan result[T] {
	results := make([]chan result[T], n)
	for i := range results {
		results[i] = make(chan result[T], 1)
	}
	turns := make(chan struct{}, max(together, 1))
	go func() {
		for i := range results {
			turns <- struct{}{}
			go func() {
				of, err := run(i)
				results[i] <- result[T]{of, err}
				<-turns
			}()
		}
	}()
	return results
}
