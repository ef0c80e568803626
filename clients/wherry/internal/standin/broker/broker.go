// Package broker is an MQTT broker in memory, by mochi-mqtt, whose messages tests
// observe.
package broker

import (
	"log/slog"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	mochi "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
)

// User and Password that a broker accepts.
const (
	User     = "wherry"
	Password = "open"
)

// Ears receive what brokers publish, over all brokers that they are attached to.
type Ears struct {
	mochi.HookBase
	mu     sync.Mutex
	willed bool
	got    []packets.Packet
	// Deny refuses messages with this in their topic; empty: none.
	Deny string
}

// Provides reports which hooks are implemented.
func (e *Ears) Provides(b byte) bool {
	return slices.Contains([]byte{mochi.OnConnectAuthenticate, mochi.OnACLCheck, mochi.OnPublished, mochi.OnWillSent}, b)
}

// OnConnectAuthenticate accepts clients with the password.
func (e *Ears) OnConnectAuthenticate(_ *mochi.Client, p packets.Packet) bool {
	return string(p.Connect.Username) == User && string(p.Connect.Password) == Password
}

// OnACLCheck refuses the topics of Deny.
func (e *Ears) OnACLCheck(_ *mochi.Client, topic string, write bool) bool {
	return !write || e.Deny == "" || !strings.Contains(topic, e.Deny)
}

// OnPublished records a message.
func (e *Ears) OnPublished(_ *mochi.Client, p packets.Packet) { e.hear(p) }

// OnWillSent records a will.
func (e *Ears) OnWillSent(_ *mochi.Client, p packets.Packet) {
	e.hear(p)
	e.mu.Lock()
	defer e.mu.Unlock()
	e.willed = true
}

func (e *Ears) hear(p packets.Packet) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.got = append(e.got, p)
}

// Heard gives what was published on a topic, in order; immediate repetitions count once.
func (e *Ears) Heard(topic string) (l []string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	for _, p := range e.got {
		if p.TopicName == topic && (len(l) == 0 || l[len(l)-1] != string(p.Payload)) {
			l = append(l, string(p.Payload))
		}
	}
	return l
}

// Bye waits until a client's will is received, and with it whatever it published before.
func (e *Ears) Bye(t *testing.T) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(time.Millisecond) {
		e.mu.Lock()
		willed := e.willed
		e.mu.Unlock()
		if willed {
			return
		}
		if time.Now().After(end) {
			t.Fatal("no will was published")
		}
	}
}

// All gives every message but the broker's own.
func (e *Ears) All() []packets.Packet {
	e.mu.Lock()
	defer e.mu.Unlock()
	return slices.DeleteFunc(slices.Clone(e.got), func(p packets.Packet) bool { return strings.HasPrefix(p.TopicName, "$") })
}

// Opens opens a broker at an address, until the test ends or it is closed. It disconnects
// on packets of more than largest bytes, a limit that it does not announce; 0: no limit.
func Opens(t *testing.T, at string, e *Ears, largest uint32) (end func()) {
	t.Helper()
	c := mochi.NewDefaultServerCapabilities()
	c.MaximumPacketSize = largest
	s := mochi.New(&mochi.Options{Capabilities: c, Logger: slog.New(slog.DiscardHandler)})
	if err := s.AddHook(e, nil); err != nil {
		t.Fatal(err)
	}
	if err := s.AddListener(listeners.NewTCP(listeners.Config{ID: "tcp", Address: at})); err != nil {
		t.Fatal(err)
	}
	if err := s.Serve(); err != nil {
		t.Fatal(err)
	}
	var once sync.Once
	end = func() { once.Do(func() { _ = s.Close() }) }
	t.Cleanup(end)
	return end
}

// Address gives a free address.
func Address(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}
