package app

import (
	"time"

	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/traces"
	"github.com/ripwright/ripwright/server/workers"
	books "github.com/ripwright/ripwright/solver/run"
)

// Config of a server.
type Config struct {
	GRPC, HTTP string // addresses to listen on
	// Health is the address that serves only /livez and /readyz; empty: they are served
	// at HTTP's only. HealthMetrics shows metrics there too, to anyone who can reach it.
	Health        string
	HealthMetrics bool
	// HealthProfiles shows Go's profiles there.
	HealthProfiles bool
	MaxBody        int // longest request in bytes; 0: DefaultMaxBody
	Service        service.Config
	Workers        workers.Config // of plans and tallies
	LongestPlan    time.Duration  // 0: DefaultLongestPlan
	Currency       string         // of prices, if a request names none
	// SearchMemory is the memory of one search in bytes; 0: rip.DefaultMemory. Room is
	// what requests and lines may hold; nil: any amount.
	SearchMemory int64
	Room         *memory.Room
	// Against are the thresholds for measured strips; the zero value: books.Usual.
	Against     books.Thresholds
	Record      record.File    // where boards are recorded; no path: nowhere
	RecordOneIn int            // record one board in this many; 0: each
	Keys        *secure.Keys   // nil: no TLS
	Tokens      *secure.Tokens // nil: anyone may call
	Page        bool           // serve the page for people
	Settings    []byte         // in force, as JSON, shown to callers who may see metrics; nil: they are not
	Hosts       []string       // further names by which HTTP callers may call
	Limits      limit.Config
	Traces      *traces.Traces // nil: none
	Age         time.Duration  // after which callers are asked to reconnect; 0: never
	Saws        string         // the saw file; empty: the built-in saws
	Poll        time.Duration  // how often files are checked for changes; 0: never
	DrainDelay  time.Duration  // how long calls are still taken after readiness goes off
	Drain       time.Duration  // how long calls under way may take after that
}

// DefaultMaxBody is enough for any request within the limits of the fields: a board of
// 2000 stations with an order of 500 items takes a tenth of it.
const DefaultMaxBody = 4 << 20

// DefaultLongestPlan is the longest that a plan of a whole order may take.
const DefaultLongestPlan = 10 * time.Minute
