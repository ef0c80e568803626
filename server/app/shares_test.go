package app

import (
	"crypto/tls"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/secure"
)

// Callers are distinguished by token, otherwise by certificate, otherwise by address, the
// same over gRPC and JSON. A caller that holds its whole share is refused with a time to
// retry, is counted by its name, and may call again once it ends a call; meanwhile others
// are served, and so are questions about health.
func TestCallersHaveTheirShares(t *testing.T) {
	noLeaks(t)
	ca, dir := issuer(t), t.TempDir()
	cert, key := ca.files(t, dir, "server")
	authorities, list := filepath.Join(dir, "ca.pem"), filepath.Join(dir, "tokens.yaml")
	pemFile(t, authorities, "CERTIFICATE", ca.cert.Raw)
	if err := os.WriteFile(list, []byte("- {name: saw 3, token: saw-3-0123456789abcdefgh, scopes: [line, read]}\n- {name: saw 4, token: saw-4-0123456789abcdefgh, scopes: [line]}\n"+
		"- {name: saw 5, token: saw-5-0123456789abcdefgh, scopes: [line]}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	keys, err := secure.LoadKeys(cert, key, authorities)
	if err != nil {
		t.Fatal(err)
	}
	tokens, err := secure.LoadTokens(list)
	if err != nil {
		t.Fatal(err)
	}
	mine, its := ca.issue(t, "controller 3", false)
	trust := ca.trust()
	trust.Certificates = []tls.Certificate{{Certificate: [][]byte{mine.Raw}, PrivateKey: its}}
	for _, c := range []struct {
		name string
		cfg  Config
		// Tokens: of the caller that holds its share, and of others over gRPC and JSON.
		// The service frees a call only after its caller has the answer.
		first, other, third string
	}{
		{"token:saw 3", Config{Keys: keys, Tokens: tokens}, "saw-3-0123456789abcdefgh", "saw-4-0123456789abcdefgh", "saw-5-0123456789abcdefgh"},
		{"certificate:CN=controller 3", Config{Keys: keys}, "", "", ""},
		{"address:127.0.0.1", Config{}, "", "", ""},
	} {
		c.cfg.Limits, c.cfg.Drain = limit.Config{CallerCalls: 1}, 10*time.Second
		r := run(t, loopback(c.cfg))
		scheme, by, web := "http://", insecure.NewCredentials(), &http.Client{Transport: &http.Transport{TLSClientConfig: trust}}
		if c.cfg.Keys != nil {
			scheme, by = "https://", credentials.NewTLS(trust)
		}
		conn, err := grpc.NewClient(r.GRPC(), grpc.WithTransportCredentials(by))
		if err != nil {
			t.Fatal(err)
		}
		client := ripwrightv1.NewRipServiceClient(conn)
		as := func(token string) *status.Status {
			ctx := t.Context()
			if token != "" {
				ctx = metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+token)
			}
			_, err := client.SolveBoard(ctx, request(t))
			return status.Convert(err)
		}
		// The response: status, Retry-After and body.
		post := func(path, token string) (code int, again, body string) {
			t.Helper()
			method, ask := http.MethodPost, good
			if path == "/metrics" {
				method, ask = http.MethodGet, ""
			}
			q, err := http.NewRequestWithContext(t.Context(), method, scheme+r.HTTP()+path, strings.NewReader(ask))
			if err != nil {
				t.Fatal(err)
			}
			q.Header.Set("Content-Type", "application/json")
			if token != "" {
				q.Header.Set("Authorization", "Bearer "+token)
			}
			answer, err := web.Do(q)
			if err != nil {
				t.Fatal(err)
			}
			defer func() { _ = answer.Body.Close() }()
			text, err := io.ReadAll(answer.Body)
			if err != nil {
				t.Fatal(err)
			}
			return answer.StatusCode, answer.Header.Get("Retry-After"), string(text)
		}

		ctx := t.Context()
		if c.first != "" {
			ctx = metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+c.first)
		}
		line, err := client.RunLine(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if err := line.Send(&ripwrightv1.RunLineRequest{Sequence: 1, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{
			RunId: "held", Order: request(t).GetOrder(), SawChoice: &ripwrightv1.LineSetUp_SawName{SawName: "plover"}}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := line.Recv(); err != nil {
			t.Fatal(err)
		}
		s := as(c.first)
		var again time.Duration
		for _, d := range s.Details() {
			if i, ok := d.(*errdetails.RetryInfo); ok {
				again = i.GetRetryDelay().AsDuration()
			}
		}
		if s.Code() != codes.ResourceExhausted || again <= 0 {
			t.Errorf("%s by gRPC: %v, again after %v", c.name, s, again)
		}
		if code, again, says := post("/v1/boards:solve", c.first); code != http.StatusTooManyRequests || again != "1" {
			t.Errorf("%s by JSON: %d, %q, %s", c.name, code, again, says)
		}
		if c.other != "" {
			if s := as(c.other); s.Code() != codes.OK {
				t.Errorf("beside %s: %v", c.name, s)
			}
			if code, _, says := post("/v1/boards:solve", c.third); code != http.StatusOK {
				t.Errorf("beside %s by JSON: %d %s", c.name, code, says)
			}
		}
		if _, err := grpc_health_v1.NewHealthClient(conn).Check(t.Context(), &grpc_health_v1.HealthCheckRequest{}); err != nil {
			t.Errorf("%s, health: %v", c.name, err)
		}
		if _, _, says := post("/metrics", c.first); !strings.Contains(says, `ripwright_turned_away_total{caller="`+c.name+`",limit="caller_calls"} 2`) {
			t.Errorf("%s is not counted", c.name)
		}
		if err := line.CloseSend(); err != nil {
			t.Fatal(err)
		}
		until(t, "the share to be free", func() bool { return as(c.first).Code() == codes.OK })
		_ = conn.Close()
		web.CloseIdleConnections()
		r.end(t)
	}
}
