//go:build verify

package e2e

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// summary ends the run, from the books, and gives what was made of each item in metres.
func (p *plant) summary() map[string]float64 {
	b, err := books.Open(filepath.Join(p.dir, "books"), "east")
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = b.Close() }()
	if len(b.Results) > 0 || b.Unanswered != nil {
		p.t.Errorf("%d results are not reported, and a message of %d bytes has no answer", len(b.Results), len(b.Unanswered))
	}
	conn, err := grpc.NewClient(p.all[0].GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	ctx, cancel := context.WithTimeout(p.t.Context(), time.Minute)
	defer cancel()
	s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(ctx)
	if err != nil {
		p.t.Fatal(err)
	}
	made := map[string]float64{}
	for _, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: b.State, RunId: "east"}}},
		{Sequence: b.Sequence + 1, Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}},
	} {
		if err := s.Send(m); err != nil {
			p.t.Fatal(err)
		}
		a, err := s.Recv()
		if err != nil {
			p.t.Fatal(err)
		}
		for _, x := range a.GetSummary().GetItems() {
			made[x.GetItemId()] += x.GetLengthM()
		}
		if sum := a.GetSummary(); sum != nil {
			p.t.Logf("planned %d, refused %d, unconfirmed %d, %v", sum.GetPlanned(), sum.GetRefused(), sum.GetUnconfirmed(), sum.GetOutcomes())
		}
	}
	return made
}

var planned = regexp.MustCompile(`"msg":"planned".*"boot":(\d+),"number":(\d+).*"lengths":"([^"]*)"`)

// cutsOf is what the accepted cuts made by the plans that the bridge logged.
func (p *plant) cutsOf() map[string]float64 {
	text, err := os.ReadFile(p.log.Name())
	if err != nil {
		p.t.Fatal(err)
	}
	plans := map[[2]uint32]string{}
	for _, m := range planned.FindAllStringSubmatch(string(text), -1) {
		boot, _ := strconv.ParseUint(m[1], 10, 32)
		number, _ := strconv.ParseUint(m[2], 10, 32)
		plans[[2]uint32{uint32(boot), uint32(number)}] = m[3]
	}
	// Its last output may be lost if it was killed; what it stored is not.
	var kept struct{ Cuts []cut }
	text, err = os.ReadFile(filepath.Join(p.dir, "kept.json"))
	if err == nil {
		err = json.Unmarshal(text, &kept)
	}
	if err != nil {
		p.t.Fatal(err)
	}
	p.plc.cuts = kept.Cuts
	made := map[string]float64{}
	for _, c := range p.plc.cuts {
		if c.Wrong != "" {
			p.t.Error(c.Wrong)
		}
		if contract.Outcome(c.Outcome) != contract.AsPlanned {
			continue
		}
		for _, f := range strings.Fields(plans[[2]uint32{c.Boot, c.Number}]) {
			item, metres, _ := strings.Cut(f, "=")
			v, err := strconv.ParseFloat(metres, 64)
			if err != nil {
				p.t.Fatal(err)
			}
			made[item] += v
		}
	}
	return made
}

// agree ends the run, compares the service's books with what the PLC cut, and gives what
// they have of each item in metres.
func agree(t *testing.T, p *plant) map[string]float64 {
	t.Helper()
	want, got := p.cutsOf(), p.summary()
	if len(want) == 0 {
		t.Error("nothing was cut")
	}
	for item, v := range want {
		if math.Abs(got[item]-v) > 1e-6 {
			t.Errorf("%s: %v m in the service's books, want %v m as cut", item, got[item], v)
		}
	}
	accepted, declined := 0, map[string]int{}
	for _, c := range p.plc.cuts {
		if c.Plan != 0 {
			accepted++
		}
		if c.Declined != 0 {
			declined[contract.Reason(c.Declined).String()]++
		}
	}
	t.Logf("%d boards, %d plans accepted, declined %v", len(p.plc.cuts), accepted, declined)
	p.declined = declined
	return got
}
