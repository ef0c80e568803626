// Package mqtt publishes what a line does to displays, by MQTT 5: plans, fills, yield and
// state. It receives nothing, and nothing waits for it: what a broker does not accept
// waits on disk, up to a limit.
package mqtt

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/eclipse/paho.golang/autopaho"
	"github.com/eclipse/paho.golang/packets"
	"github.com/eclipse/paho.golang/paho"
	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Config of a publisher.
type Config struct {
	URL            string // mqtt://host:port or mqtts://host:port
	CA             string // PEM file; empty: the system's authorities
	ClientID       string
	User, Password string
	Topic          string // prefix of every topic
	RunID          string
	Queue          string // folder of waiting messages
	Most           int    // most messages that may wait
	Log            *zap.Logger
	// Registry takes the metrics.
	Registry prometheus.Registerer
}

// Times and lengths.
const (
	behind    = 256              // answers that may wait to be written to disk
	within    = 10 * time.Second // time limit of the broker for an answer
	again     = 200 * time.Millisecond
	keepAlive = 10 // seconds
	lastWords = 2 * time.Second
	overhead  = 64 // most bytes of a packet besides topic and payload
)

// Publisher publishes. Tell and Stands are safe for concurrent use, and never block.
type Publisher struct {
	Config
	at      *url.URL
	tls     *tls.Config
	queue   *queue
	events  chan event
	metrics metrics

	mu    sync.Mutex
	state stateMessage
	// stale holds one entry while the broker has another state, or may have.
	stale  chan struct{}
	link   context.Context // ends with the connection; nil: there was none
	unlink context.CancelFunc
	// linked holds one entry after a connection was made.
	linked  chan struct{}
	largest atomic.Uint32 // largest packet that the broker accepts, in bytes; 0: any
}

type metrics struct {
	sent               prometheus.Counter
	dropped            *prometheus.CounterVec
	waiting, connected prometheus.Gauge
}

// Open opens the queue. It does not connect.
func Open(c Config) (*Publisher, error) {
	p := &Publisher{Config: c, events: make(chan event, behind), stale: make(chan struct{}, 1), linked: make(chan struct{}, 1), state: stateMessage{Kind: "state", Run: c.RunID, Running: true}}
	p.metrics = metrics{
		sent:      prometheus.NewCounter(prometheus.CounterOpts{Name: "wherry_mqtt_sent_total", Help: "Messages that the MQTT broker accepted."}),
		dropped:   prometheus.NewCounterVec(prometheus.CounterOpts{Name: "wherry_mqtt_dropped_total", Help: "Messages dropped, by reason: the queue was full, the disk was too slow, the message could not be queued, or the broker refused it."}, []string{"reason"}),
		waiting:   prometheus.NewGauge(prometheus.GaugeOpts{Name: "wherry_mqtt_waiting", Help: "Messages that wait for the MQTT broker."}),
		connected: prometheus.NewGauge(prometheus.GaugeOpts{Name: "wherry_mqtt_connected", Help: "1 while the MQTT broker is connected, else 0."}),
	}
	var err error
	if p.at, err = url.Parse(c.URL); err != nil {
		return nil, err
	}
	if p.at.Scheme == "mqtts" {
		p.tls = &tls.Config{MinVersion: tls.VersionTLS12, ServerName: p.at.Hostname()}
	}
	if c.CA != "" {
		text, err := os.ReadFile(c.CA)
		if err != nil {
			return nil, err
		}
		if p.tls.RootCAs = x509.NewCertPool(); !p.tls.RootCAs.AppendCertsFromPEM(text) {
			return nil, fmt.Errorf("%s has no PEM certificate", c.CA)
		}
	}
	q, dropped, err := openQueue(c.Queue, c.Most)
	if err != nil {
		return nil, err
	}
	p.queue = q
	c.Registry.MustRegister(p.metrics.sent, p.metrics.dropped, p.metrics.waiting, p.metrics.connected)
	for _, reason := range []string{full, slow, unkept, refused} {
		p.metrics.dropped.WithLabelValues(reason)
	}
	p.drop(full, dropped)
	return p, nil
}

// Why messages are dropped.
const (
	full    = "full"
	slow    = "slow"
	unkept  = "unkept"
	refused = "refused"
)

func (p *Publisher) drop(reason string, n int) {
	p.metrics.dropped.WithLabelValues(reason).Add(float64(n))
}

// Tell publishes what an answer says.
func (p *Publisher) Tell(of handover.Board, a *ripwrightv1.RunLineResponse) {
	select {
	case p.events <- event{of, a, time.Now()}:
	default:
		p.drop(slow, 1)
	}
}

// Stands publishes the state of the line.
func (p *Publisher) Stands(plc, service bool) {
	p.mu.Lock()
	p.state.PLC, p.state.Service = plc, service
	p.mu.Unlock()
	wake(p.stale)
}

// wake adds an entry if there is none.
func wake(c chan<- struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// connected gives the context of the current connection; nil: there is none.
func (p *Publisher) connected() context.Context {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.link == nil || p.link.Err() != nil {
		return nil
	}
	return p.link
}

// connects waits for a connection.
func (p *Publisher) connects(ctx context.Context) context.Context {
	for {
		if l := p.connected(); l != nil {
			return l
		}
		select {
		case <-p.linked:
		case <-ctx.Done():
			return nil
		}
	}
}

// Run publishes until the context ends, and then briefly what still waits. The rest waits
// for the next publisher.
func (p *Publisher) Run(ctx context.Context) error {
	live, end := context.WithCancel(context.WithoutCancel(ctx))
	defer end()
	c, err := autopaho.NewConnection(live, p.connection(live))
	if err != nil {
		return err
	}
	kept, sent := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(sent)
		p.send(live, kept, c)
	}()
	p.keep(ctx)
	close(kept)
	if p.connected() != nil {
		select {
		case <-sent:
		case <-time.After(lastWords):
		}
	}
	end()
	<-sent
	<-c.Done()
	return nil
}

// connection is the configuration for connecting and reconnecting. The will, which the
// broker also publishes when the connection ends normally, says that nothing runs.
func (p *Publisher) connection(live context.Context) autopaho.ClientConfig {
	will, _ := json.Marshal(stateMessage{Kind: "state", Run: p.RunID})
	return autopaho.ClientConfig{
		ServerUrls: []*url.URL{p.at}, TlsCfg: p.tls, KeepAlive: keepAlive, ConnectTimeout: within,
		CleanStartOnInitialConnection: true,
		ReconnectBackoff:              autopaho.NewExponentialBackoff(100*time.Millisecond, 5*time.Second, time.Second, 2),
		ConnectUsername:               p.User, ConnectPassword: []byte(p.Password),
		WillMessage:    &paho.WillMessage{Retain: true, QoS: 1, Topic: p.Topic + "/state", Payload: will},
		WillProperties: &paho.WillProperties{ContentType: contentType},
		DisconnectPacketBuilder: func() *paho.Disconnect {
			return &paho.Disconnect{ReasonCode: packets.DisconnectDisconnectWithWillMessage}
		},
		OnConnectionUp: func(_ *autopaho.ConnectionManager, a *paho.Connack) {
			p.largest.Store(0)
			if a.Properties != nil && a.Properties.MaximumPacketSize != nil {
				p.largest.Store(*a.Properties.MaximumPacketSize)
			}
			p.mu.Lock()
			p.link, p.unlink = context.WithCancel(live)
			p.mu.Unlock()
			wake(p.linked)
			p.metrics.connected.Set(1)
			p.Log.Info("the MQTT broker is connected")
			wake(p.stale) // the broker may have published the will
		},
		OnConnectionDown: func() bool {
			p.mu.Lock()
			p.unlink()
			p.mu.Unlock()
			p.metrics.connected.Set(0)
			p.Log.Warn("connection to the MQTT broker lost")
			return true
		},
		OnConnectError: func(err error) { p.Log.Warn("the MQTT broker does not answer", zap.Error(err)) },
		ClientConfig:   paho.ClientConfig{ClientID: p.ClientID, PacketTimeout: within},
	}
}

const contentType = "application/json"

// keep writes messages to disk, including those that wait once the context has ended.
func (p *Publisher) keep(ctx context.Context) {
	for {
		select {
		case e := <-p.events:
			p.write(e)
		case <-ctx.Done():
			for {
				select {
				case e := <-p.events:
					p.write(e)
				default:
					return
				}
			}
		}
	}
}

func (p *Publisher) write(e event) {
	for _, m := range p.messages(e) {
		dropped, err := p.queue.add(m)
		p.drop(full, dropped)
		if err != nil {
			p.drop(unkept, 1)
			p.Log.Warn("a message cannot be queued for the MQTT broker", zap.Error(err))
		}
	}
	p.metrics.waiting.Set(float64(p.queue.waiting()))
}
