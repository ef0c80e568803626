package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/ripwright/ripwright/server/config"
)

// probe asks a running service on this machine whether it is ready, for a container that
// has neither a shell nor curl. If callers need a certificate, only the address for
// health answers, as a probe has none.
func probe(cfg *config.Config) error {
	at := cfg.HTTP
	if cfg.Health != "" {
		at = cfg.Health
	} else if cfg.Clients != "" {
		return errors.New("callers need a certificate, and a probe has none; set health to an address for the probe")
	}
	host, port, err := net.SplitHostPort(at)
	if err != nil {
		return err
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	scheme := "http"
	client := &http.Client{Timeout: 3 * time.Second}
	if cfg.Cert != "" && cfg.Health == "" {
		scheme = "https"
		// The service is asked over loopback, nothing secret is sent, and the certificate
		// names another host.
		client.Transport = &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}} // over loopback, and nothing secret is sent
	}
	answer, err := client.Get(scheme + "://" + net.JoinHostPort(host, port) + "/readyz")
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("not ready: %s", answer.Status)
	}
	return nil
}
