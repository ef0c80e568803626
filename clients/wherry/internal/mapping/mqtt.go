package mapping

import (
	"fmt"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/mqtt"
)

// MQTT is a broker for plans, fills, yield and state.
type MQTT struct {
	URL          string  `yaml:"url"`
	Topic        string  `yaml:"topic"`
	ClientID     string  `yaml:"client_id"`
	User         string  `yaml:"user"`
	PasswordFile string  `yaml:"password_file"`
	CA           string  `yaml:"ca"`
	MostWaiting  int     `yaml:"most_waiting"`
	YieldEveryS  float64 `yaml:"yield_every_s"`
}

// defaults fills in what was left out.
func (q *MQTT) defaults(run string) {
	if q.ClientID == "" {
		q.ClientID = "wherry-" + run
	}
	if q.MostWaiting == 0 {
		q.MostWaiting = 10_000
	}
	if q.YieldEveryS == 0 {
		q.YieldEveryS = 10
	}
}

// mostTopic leaves room for an item in a topic, which has up to 65535 bytes (MQTT 5,
// 1.5.4).
const mostTopic = 256

func (q *MQTT) faults(wrong func(string, string, ...any), needed func(string, string, string)) {
	needed("mqtt.url", q.URL, "mqtt://host:port, or mqtts://host:port with TLS")
	needed("mqtt.topic", q.Topic, "the prefix of every topic")
	if q.URL != "" {
		q.broker(wrong)
	}
	if strings.ContainsAny(q.Topic, "+#\x00") || strings.HasPrefix(q.Topic, "$") || strings.HasPrefix(q.Topic, "/") || strings.HasSuffix(q.Topic, "/") || len(q.Topic) > mostTopic {
		wrong("mqtt.topic", "is %q; must have at most %d bytes, no + or #, no $ or / at the beginning, and no / at the end", q.Topic, mostTopic)
	}
	if q.PasswordFile != "" && q.User == "" {
		wrong("mqtt.user", "is needed: the user whose password is in password_file")
	}
}

func (q *MQTT) broker(wrong func(string, string, ...any)) {
	u, err := url.Parse(q.URL)
	if err != nil || u.Scheme != "mqtt" && u.Scheme != "mqtts" || u.Hostname() == "" || u.Port() == "" || u.Path != "" || u.RawQuery != "" {
		wrong("mqtt.url", "must be mqtt://host:port, or mqtts://host:port with TLS")
		return
	}
	if u.User != nil {
		wrong("mqtt.url", "must not contain a user; set mqtt.user and mqtt.password_file")
	}
	open := u.Scheme == "mqtt"
	if open && q.CA != "" {
		wrong("mqtt.ca", "needs mqtts:// in mqtt.url")
	}
	if open && q.PasswordFile != "" && !loopback(u.Hostname()) {
		wrong("mqtt.password_file", "the password would be sent unencrypted to %s; use mqtts://", u.Host)
	}
}

// loopback reports whether what is sent to a host stays on this machine.
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// Publishing gives the configuration of the publisher. Its queue is in the folder of the
// books.
func (m *Mapping) Publishing() (mqtt.Config, error) {
	q := m.MQTT
	c := mqtt.Config{URL: q.URL, CA: q.CA, ClientID: q.ClientID, User: q.User, Topic: q.Topic, RunID: m.Run, Queue: filepath.Join(m.Books, "mqtt"), Most: q.MostWaiting}
	if q.PasswordFile != "" {
		text, err := os.ReadFile(q.PasswordFile)
		if err != nil {
			return c, fmt.Errorf("mqtt.password_file: %w", err)
		}
		c.Password = strings.TrimRight(string(text), "\r\n")
	}
	return c, nil
}

// YieldEvery is how long after a result a summary is requested; 0: never.
func (m *Mapping) YieldEvery() time.Duration {
	if m.MQTT == nil {
		return 0
	}
	return Ms(1000 * m.MQTT.YieldEveryS)
}
