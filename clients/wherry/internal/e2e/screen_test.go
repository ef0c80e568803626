//go:build verify

package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/eclipse/paho.golang/paho"

	"github.com/ripwright/ripwright/clients/internal/proxy"
)

// screen is Debian's broker behind a failing network, and what a display there sees.
type screen struct {
	t    *testing.T
	dir  string
	at   string
	wire *proxy.Proxy // between bridge and broker
	cmd  *exec.Cmd
}

func newScreen(t *testing.T, dir string) *screen {
	t.Helper()
	s := &screen{t: t, dir: filepath.Join(dir, "broker"), at: fmt.Sprintf("127.0.0.1:%d", free(t)), wire: proxy.New(t)}
	host, port, _ := strings.Cut(s.at, ":")
	// It persists at once what it accepts: it is killed as the bridge is.
	conf := fmt.Sprintf("listener %s %s\nallow_anonymous true\npersistence true\npersistence_location %s/\nautosave_on_changes true\nautosave_interval 1\nuser root\n", port, host, s.dir)
	err := os.MkdirAll(s.dir, 0o700)
	if err == nil {
		err = os.WriteFile(filepath.Join(s.dir, "conf"), []byte(conf), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	s.wire.Point(s.at)
	s.start()
	t.Cleanup(s.kill)
	return s
}

func (s *screen) start() {
	s.cmd = exec.Command("mosquitto", "-c", filepath.Join(s.dir, "conf"))
	if err := s.cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
}

func (s *screen) kill() {
	_ = s.cmd.Process.Kill()
	_ = s.cmd.Wait()
}

// retained gives what a display that is switched on now receives, by topic.
func (s *screen) retained() map[string]string {
	s.t.Helper()
	conn, err := net.Dial("tcp", s.at)
	if err != nil {
		s.t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	var mu sync.Mutex
	got := map[string]string{}
	c := paho.NewClient(paho.ClientConfig{Conn: conn, OnPublishReceived: []func(paho.PublishReceived) (bool, error){func(r paho.PublishReceived) (bool, error) {
		mu.Lock()
		defer mu.Unlock()
		got[r.Packet.Topic] = string(r.Packet.Payload)
		return true, nil
	}}})
	ctx, cancel := context.WithTimeout(s.t.Context(), 10*time.Second)
	defer cancel()
	if _, err := c.Connect(ctx, &paho.Connect{ClientID: "display", CleanStart: true, KeepAlive: 30}); err != nil {
		s.t.Fatal(err)
	}
	if _, err := c.Subscribe(ctx, &paho.Subscribe{Subscriptions: []paho.SubscribeOptions{{Topic: "saws/east/#", QoS: 1}}}); err != nil {
		s.t.Fatal(err)
	}
	time.Sleep(500 * time.Millisecond) // they come at once
	_ = c.Disconnect(&paho.Disconnect{})
	mu.Lock()
	defer mu.Unlock()
	return got
}

// shows compares what a display finally shows with what was made of each item in metres.
func (s *screen) shows(made map[string]float64) {
	s.t.Helper()
	got := s.retained()
	for item, want := range made {
		var f struct {
			Made float64
			Unit string
		}
		if err := json.Unmarshal([]byte(got["saws/east/fill/"+item]), &f); err != nil || f.Unit != "m" || math.Abs(f.Made-want) > 1e-6 {
			s.t.Errorf("a display shows %s of %s, want %v m made: %v", got["saws/east/fill/"+item], item, want, err)
		}
	}
	const ended = `{"kind":"state","run":"east","running":false,"plc":false,"service":false}`
	if got["saws/east/state"] != ended {
		s.t.Errorf("a display shows %s once the bridge has ended", got["saws/east/state"])
	}
	var y struct{ Unconfirmed *int32 }
	if err := json.Unmarshal([]byte(got["saws/east/yield"]), &y); err != nil || y.Unconfirmed == nil {
		s.t.Errorf("a display shows the yield as %s", got["saws/east/yield"])
	}
	if got["saws/east/plan"] == "" {
		s.t.Error("a display shows no plan")
	}
}
