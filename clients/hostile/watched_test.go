package hostile

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// quote is an order with the given metres open of two widths; the given number of others
// are filled and make the answer long.
func quote(metres float64, filled int) *ripwrightv1.QuoteOrderRequest {
	o := &ripwrightv1.CutOrder{OrderId: "watched"}
	for i := range filled + 2 {
		it := &ripwrightv1.Item{ItemId: fmt.Sprintf("%s %d", strings.Repeat("w", 100), i), Value: 1, MinLengthMm: 400,
			Width: &ripwrightv1.Item_WidthMm{WidthMm: 60 + 10*float64(i%2)}, Required: metre, Made: metre}
		if i < 2 {
			it.Required, it.Made = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: metres}}, nil
		}
		o.Items = append(o.Items, it)
	}
	tag := &ripwrightv1.PackTag{ThicknessMm: proto.Float64(26), Rows: []*ripwrightv1.TagRow{{WidthMm: 205, LengthMm: 3000, Count: proto.Int32(400)}}}
	lot := &ripwrightv1.Lot{LotId: "pack", PricePerMbf: proto.Float64(4000), Source: &ripwrightv1.Lot_Tagged{Tagged: tag}}
	return &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_SawName{SawName: "heron"}, Order: o,
		Lumber: &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{lot}}, Values: ripwrightv1.ValueChoice_VALUE_CHOICE_OWN,
		Simulations: proto.Int32(4), MaxBoards: proto.Int32(5), TimeLimitMs: proto.Float64(300_000)}
}

// Watched quotes whose progress and answers are not read, over both protocols, hold their
// caller's share of calls and nothing more: no worker waits for them, the quotes and
// boards of others are answered, and memory stays where it was.
func TestWatchedQuotesNotCollected(t *testing.T) {
	const share = 24
	t.Setenv("GOMEMLIMIT", "460MiB")
	r := serve(t, "--caller-calls", fmt.Sprint(share), "--caller-connections", "0", "--plan-waiting", "200")
	defer onlooker(t, r)()
	watched := &ripwrightv1.WatchQuoteRequest{Quote: quote(4, 300)}
	text, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(watched)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := proto.Marshal(watched)
	if err != nil {
		t.Fatal(err)
	}
	others := ripwrightv1.NewPlanningServiceClient(calling(t, "127.0.0.9", r))
	if _, err := others.QuoteOrder(t.Context(), watched.GetQuote()); err != nil { // the quote is valid
		t.Fatal(err)
	}
	before := peak(t, r)
	var all []*talker
	refused := 0
	for k := range 4 { // 100 by gRPC
		h := talk(t, badAddress, r.GRPC)
		all = append(all, h)
		if err := h.WriteSettings(http2.Setting{ID: http2.SettingInitialWindowSize, Val: 0}); err != nil {
			t.Fatal(err)
		}
		for i := range uint32(25) {
			h.head(2*i+1, "/ripwright.v1.PlanningService/WatchQuote", false)
			for part := append(message(len(raw)), raw...); len(part) > 0; {
				n := min(len(part), 16<<10)
				if h.WriteData(2*i+1, n == len(part), part[:n]) != nil {
					break
				}
				part = part[n:]
			}
		}
		want := 25
		if k == 0 {
			want -= share
		}
		refused += h.refusals(want, time.Minute)
		_ = h.SetReadDeadline(time.Time{})
		go h.alive()
	}
	if refused < 100-share {
		t.Errorf("%d watched quotes of 100 were refused, the share is %d", refused, share)
	}
	for range 60 { // and over HTTP, from elsewhere
		c := unread(t, "127.0.0.67", r.HTTP)
		_ = c.SetWriteDeadline(time.Now().Add(time.Minute)) // what is refused is not read
		_, _ = fmt.Fprintf(c, "POST /v1/orders:watchQuote HTTP/1.1\r\nHost: %s\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", r.HTTP, len(text), text)
	}
	// Workers end with them, whether or not they are read.
	idle := func() bool {
		_, page := asks(t, "127.0.0.9", "http://"+r.HTTP+"/metrics")
		return strings.Contains(page, "\nripwright_plan_workers_busy 0") && strings.Contains(page, "\n"+`ripwright_plans_waiting{call="WatchQuote"} 0`)
	}
	for end := time.Now().Add(5 * time.Minute); !idle(); time.Sleep(200 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("workers wait for a caller that reads nothing")
		}
	}
	// The share is still taken: what is not read is under way. Over HTTP no writer waits
	// for longer than half a minute.
	h := talk(t, badAddress, r.GRPC)
	h.head(1, solve, true)
	if got := h.statusOf(1); got != "8" {
		t.Errorf("a call beyond the share got status %s", got)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	if _, err := others.QuoteOrder(ctx, watched.GetQuote()); err != nil {
		t.Errorf("another caller's quote: %v", err)
	}
	honest(t, r)
	mb := peak(t, r)
	t.Logf("%d refused by gRPC, %.0f MB, before %.0f MB", refused, mb, before)
	if mb > before+120 {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
	// Once the connections are gone the share is free again.
	for _, h := range all {
		_ = h.Close()
	}
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		h := talk(t, badAddress, r.GRPC)
		h.head(1, solve, true)
		got := h.statusOf(1)
		_ = h.Close()
		if got == "3" { // the request was read
			break
		}
		if time.Now().After(end) {
			t.Fatalf("the share was not freed: %s", got)
		}
	}
}

// A caller whose quotes fill its places in the queue leaves places for others.
func TestQuotesOfManyLeavePlaces(t *testing.T) {
	r := serve(t, "--plan-workers", "1", "--plan-waiting", "8")
	long := quote(100_000, 0)
	long.Simulations, long.MaxBoards = proto.Int32(1000), proto.Int32(100_000)
	many := ripwrightv1.NewPlanningServiceClient(calling(t, badAddress, r))
	answers := make(chan error, 40)
	for range 40 {
		go func() { // ends with the test
			_, err := many.QuoteOrder(t.Context(), long)
			answers <- err
		}()
	}
	for range 35 { // one is worked on, four wait
		select {
		case err := <-answers:
			if code := status.Code(err); code != codes.ResourceExhausted {
				t.Fatalf("%v", err)
			}
		case <-time.After(3 * time.Minute):
			t.Fatal("more calls wait than the limit allows")
		}
	}
	one := make(chan error, 1)
	go func() {
		_, err := ripwrightv1.NewPlanningServiceClient(calling(t, "127.0.0.9", r)).QuoteOrder(t.Context(), quote(4, 0))
		one <- err
	}()
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		code, page := asks(t, "127.0.0.1", "http://"+r.HTTP+"/at-work")
		if code == http.StatusOK && strings.Contains(page, `"name":"plans and tallies","busy":1,"slots":1,"waiting":5,"may_wait":8`) {
			return // it waits, and is next
		}
		select {
		case err := <-one:
			if err != nil {
				t.Fatalf("another caller's quote: %v", err)
			}
			return
		default:
		}
		if time.Now().After(end) {
			t.Fatal(page)
		}
	}
}
