package faults

import (
	"context"
	"sync"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/peer"
	"google.golang.org/grpc/resolver"
	"google.golang.org/grpc/resolver/manual"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// names simulates a name server: as with the dns resolver, it is queried at the start and
// when a connection has ended, and never notifies.
type names struct {
	*manual.Resolver

	mu  sync.Mutex
	all []resolver.Address
}

func (n *names) add(at string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.all = append(n.all, resolver.Address{Addr: at})
}

func (n *names) known() resolver.State {
	n.mu.Lock()
	defer n.mu.Unlock()
	return resolver.State{Addresses: append([]resolver.Address{}, n.all...)}
}

// Callers use added replicas once their connections have aged, but not before: that is
// what connection-age is for. No call is lost either way.
func TestScaleOut(t *testing.T) {
	_, program := seeds(t)
	for age, spreads := range map[string]bool{"1s": true, "0s": false} {
		p := open(t, program, 1, "--connection-age", age)
		n := &names{Resolver: manual.NewBuilderWithScheme("names")}
		n.add(p.sites[0].At)
		n.InitialState(n.known())
		n.ResolveNowCallback = func(resolver.ResolveNowOptions) { go n.UpdateState(n.known()) }
		conn, err := grpc.NewClient("names:///ripwright", grpc.WithResolvers(n), grpc.WithDefaultServiceConfig(serviceConfig(t)),
			grpc.WithTransportCredentials(insecure.NewCredentials()))
		if err != nil {
			t.Fatal(err)
		}
		client, setUp, by := ripwrightv1.NewRipServiceClient(conn), sim.SetUp("scaled"), map[string]int{}
		call := func(i int) {
			var from peer.Peer
			_, err := client.SolveBoard(context.Background(), &ripwrightv1.SolveBoardRequest{Board: sim.Board(1, i%20), Order: setUp.GetOrder(),
				SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: setUp.GetSaw()}}, grpc.Peer(&from))
			if err != nil {
				t.Fatalf("connection age %s: a call was lost: %v", age, err)
			}
			by[from.Addr.String()]++
		}
		call(0)
		more := open(t, program, 2, "--connection-age", age)
		for _, s := range more.sites {
			n.add(s.At)
		}
		end := time.Now().Add(4 * time.Second)
		for i := 0; time.Now().Before(end); i++ {
			call(i)
			time.Sleep(time.Millisecond)
		}
		t.Logf("connection age %s: calls by address %v", age, by)
		if (len(by) == 3) != spreads {
			t.Errorf("connection age %s: spread over all replicas is %t, want %t", age, len(by) == 3, spreads)
		}
		_ = conn.Close()
	}
}
