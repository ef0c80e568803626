package hostile

import (
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// onlooker sends a small board every 50 ms as another caller, until the test reports how
// long they took and how much memory the service used. It only reports: the load of the
// machine is not the service's doing.
func onlooker(t *testing.T, r *replicas.Replica) (tell func()) {
	t.Helper()
	web := &http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: 8,
		DialContext: (&net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP("127.0.0.10")}}).DialContext}}
	before := peak(t, r)
	var mu sync.Mutex
	var took []time.Duration
	refused := 0
	var each sync.WaitGroup
	stop := make(chan struct{})
	each.Go(func() {
		for due := time.Now(); ; due = due.Add(50 * time.Millisecond) {
			select {
			case <-stop:
				return
			case <-time.After(time.Until(due)):
			}
			each.Go(func() {
				answer, err := web.Post("http://"+r.HTTP+"/v1/boards:solve", "application/json", strings.NewReader(small))
				if err == nil {
					_ = answer.Body.Close()
				}
				mu.Lock()
				defer mu.Unlock()
				if err != nil || answer.StatusCode != http.StatusOK {
					refused++
				} else {
					took = append(took, time.Since(due))
				}
			})
		}
	})
	return func() {
		close(stop)
		each.Wait()
		web.CloseIdleConnections()
		if slices.Sort(took); len(took) > 0 {
			t.Logf("others: %d boards, %v at the median, %v at the 99th percentile; %d refused; %.0f MB at most, %.0f MB before",
				len(took), took[len(took)/2], took[len(took)*99/100], refused, peak(t, r), before)
		}
	}
}
