package config

import (
	"net"
	"slices"
	"strconv"
	"time"
	"unicode/utf8"

	"github.com/ripwright/ripwright/proto/site"
)

// setting describes one setting: about is for people, ok for the reader.
type setting struct {
	group string
	name  string
	arg   string // what stands for the value in --help
	about string
	// must completes "must be"; ok reports whether c meets it.
	must string
	ok   func(c *Config) bool
	// standard describes a default that differs between machines.
	standard string
}

// Bounds on settings; they catch slips such as a wrong unit.
const (
	mostSolves  = 1024
	mostWaiting = 1_000_000
	mostCalls   = 1_000_000
	leastAge    = time.Second
	mostSample  = 1_000_000
	// A recording holds at least a thousand boards or so, and at most 1 TiB.
	leastRecording, mostRecording = 1 << 20, 1 << 40
	mostTime                      = time.Hour
	leastPoll                     = 100 * time.Millisecond
	leastMemory                   = 1 << 20
	mostMemory                    = 1 << 40
	leastBody                     = 1 << 10
	mostBody                      = 64 << 20
	mostCurrency                  = 8
	leastMM, mostMM               = 0.001, 1000
)

var (
	levels  = []string{"debug", "info", "warn", "error"}
	formats = []string{"json", "console"}
)

const mustBeAddress = "host:port, such as 127.0.0.1:7420 (this machine only) or 0.0.0.0:7420 (every interface); port 0 takes a free one"

const mustBeCount = "a whole number from 0 to 1000000"

const (
	mustBeMM      = "a number of millimetres from 0 to 1000"
	mustBeMMAbove = "a number of millimetres from 0.001 to 1000"
)

var settings = []setting{
	{group: "Listening", name: "grpc", arg: "HOST:PORT",
		about: "where gRPC callers connect; loopback unless you say otherwise",
		must:  mustBeAddress, ok: func(c *Config) bool { return isAddress(c.GRPC) }},
	{group: "Listening", name: "http", arg: "HOST:PORT",
		about: "where JSON callers connect, and where metrics and health are",
		must:  mustBeAddress, ok: func(c *Config) bool { return isAddress(c.HTTP) }},
	{group: "Listening", name: "health", arg: "HOST:PORT",
		about: "a further address for /livez and /readyz, without TLS or tokens and apart from calls; --probe asks here",
		must:  "empty, or " + mustBeAddress, ok: func(c *Config) bool { return c.Health == "" || isAddress(c.Health) }},
	{group: "Listening", name: "health-metrics", arg: "BOOL",
		about: "show /metrics, /at-work and /settings at the health address too, to whoever reaches it",
		must:  "true or false", ok: func(*Config) bool { return true }},
	{group: "Listening", name: "health-profiles", arg: "BOOL",
		about: "show Go's profiles under /debug/pprof/ of the health address, to whoever reaches it; for when something is slow",
		must:  "true or false", ok: func(*Config) bool { return true }},
	{group: "Listening", name: "max-body", arg: "BYTES",
		about: "longest request in bytes, JSON or protobuf",
		must:  "a whole number of bytes from 1024 to 67108864",
		ok:    func(c *Config) bool { return within(c.MaxBody, leastBody, mostBody) }},
	{group: "Listening", name: "page", arg: "BOOL",
		about: "serve the page for people at / of the HTTP address",
		must:  "true or false", ok: func(*Config) bool { return true }},

	{group: "Security", name: "tls-cert", arg: "FILE",
		about: "PEM file of the certificate and its chain; with it all callers need TLS 1.3",
		must:  "the name of a file", ok: func(*Config) bool { return true }},
	{group: "Security", name: "tls-key", arg: "FILE",
		about: "PEM file of the certificate's key",
		must:  "the name of a file", ok: func(*Config) bool { return true }},
	{group: "Security", name: "tls-client-ca", arg: "FILE",
		about: "PEM file of authorities; callers then need a certificate from one of them",
		must:  "the name of a file", ok: func(*Config) bool { return true }},
	{group: "Security", name: "tokens", arg: "FILE",
		about: "YAML or JSON list of bearer tokens with name, token and scopes (line, office, read); callers then need one",
		must:  "the name of a file", ok: func(*Config) bool { return true }},
	{group: "Security", name: "plaintext", arg: "BOOL",
		about: "listen beyond this machine without TLS, where a network of your own protects it",
		must:  "true or false", ok: func(*Config) bool { return true }},

	{group: "Security", name: "hosts", arg: "NAMES",
		about: "further names, separated by commas, by which browsers and JSON callers may call; addresses, localhost and the certificate's names are known; other names in Host and pages of other sites are refused",
		must:  "names such as rip.plant.example, or names with a port, with commas between; no schemes, paths or wildcards", ok: func(c *Config) bool { return site.Valid(c.Hosts) }},

	{group: "Limits", name: "calls", arg: "N",
		about: "calls under way at once, open lines among them; 0: any number",
		must:  mustBeCount, ok: func(c *Config) bool { return within(c.Calls, 0, mostCalls) }},
	{group: "Limits", name: "caller-calls", arg: "N",
		about: "calls of one caller under way at once; a caller is the name of its token, else the subject of its certificate, else its address; 0: any number",
		must:  mustBeCount, ok: func(c *Config) bool { return within(c.CallerCalls, 0, mostCalls) }},
	{group: "Limits", name: "caller-waiting", arg: "N",
		about: "boards of one caller that may wait for their turn; 0: as many as may wait in all",
		must:  mustBeCount, ok: func(c *Config) bool { return within(c.CallerWaiting, 0, mostCalls) }},
	{group: "Limits", name: "connections", arg: "N",
		about: "connections open at once, of gRPC and JSON callers together; 0: any number",
		must:  mustBeCount, ok: func(c *Config) bool { return within(c.Connections, 0, mostCalls) }},
	{group: "Limits", name: "caller-connections", arg: "N",
		about: "connections of one address; 0: any number",
		must:  mustBeCount, ok: func(c *Config) bool { return within(c.CallerConnections, 0, mostCalls) }},
	{group: "Limits", name: "connection-age", arg: "TIME",
		about: "age at which gRPC callers are asked to reconnect, give or take a tenth, so that they find new replicas; calls and lines under way go on; 0s: never",
		must:  "0s, or a time from 1s to 1h",
		ok:    func(c *Config) bool { return c.Age == 0 || within(c.Age, leastAge, mostTime) }},

	{group: "Solving", name: "solves", arg: "N", standard: "one a core",
		about: "boards solved at once",
		must:  "a whole number from 1 to 1024", ok: func(c *Config) bool { return within(c.Solves, 1, mostSolves) }},
	{group: "Solving", name: "waiting", arg: "N",
		about: "boards that may wait for their turn; more are refused",
		must:  "a whole number from 0 to 1000000", ok: func(c *Config) bool { return within(c.Waiting, 0, mostWaiting) }},
	{group: "Solving", name: "longest-solve", arg: "TIME",
		about: "longest search for one board, whatever the caller asks for",
		must:  "a time above 0s and at most 1h, such as 2s or 500ms",
		ok:    func(c *Config) bool { return within(c.Longest, 1, mostTime) }},
	{group: "Solving", name: "search-memory", arg: "BYTES", standard: "half of GOMEMLIMIT, at most 67108864 a search",
		about: "memory of all searches together, in bytes; each of the searches that solves and plan-workers let run at once has an equal part, at most 67108864",
		must:  "0, which stands for the default, or a whole number from 1048576 to 1099511627776",
		ok:    func(c *Config) bool { return c.SearchMemory == 0 || within(c.SearchMemory, leastMemory, mostMemory) }},

	{group: "Planning", name: "plan-workers", arg: "N", standard: "one core fewer than there are",
		about: "cores that plans of orders and tallies may use together; with fewer than the machine has, the others are left to live boards",
		must:  "a whole number from 1 to 1024", ok: func(c *Config) bool { return within(c.PlanWorkers, 1, mostSolves) }},
	{group: "Planning", name: "plan-waiting", arg: "N",
		about: "plans and tallies that may wait for their turn, at most half of them of one caller; more are refused",
		must:  "a whole number from 0 to 1000000", ok: func(c *Config) bool { return within(c.PlanWaiting, 0, mostWaiting) }},
	{group: "Planning", name: "longest-plan", arg: "TIME",
		about: "longest time that one plan may take, whatever the caller asks for",
		must:  "a time above 0s and at most 1h, such as 10m or 30s",
		ok:    func(c *Config) bool { return within(c.LongestPlan, 1, mostTime) }},
	{group: "Planning", name: "currency", arg: "CODE",
		about: "currency of prices where a request names none, such as its ISO 4217 code; answers show it beside amounts, and nothing is converted",
		must:  "at most 8 characters", ok: func(c *Config) bool { return utf8.RuneCountInString(c.Currency) <= mostCurrency }},

	{group: "Lines", name: "doubt-width", arg: "MM",
		about: "how far a measured strip may be wider than the board or its plan's pockets, or off its item's width and tolerance, before the answer names that as unlikely",
		must:  mustBeMM, ok: func(c *Config) bool { return within(c.DoubtWidth, 0, mostMM) }},
	{group: "Lines", name: "refuse-width", arg: "MM",
		about: "the same, before the confirmation is refused as impossible; not below doubt-width",
		must:  mustBeMMAbove, ok: func(c *Config) bool { return within(c.RefuseWidth, leastMM, mostMM) }},
	{group: "Lines", name: "doubt-length", arg: "MM",
		about: "how far the stretches of a measured strip may exceed the board's length, fall below its item's least length, or be too short for its pieces, before the answer names that as unlikely",
		must:  mustBeMM, ok: func(c *Config) bool { return within(c.DoubtLength, 0, mostMM) }},
	{group: "Lines", name: "refuse-length", arg: "MM",
		about: "the same of the board's length and of pieces, before the confirmation is refused as impossible; not below doubt-length",
		must:  mustBeMMAbove, ok: func(c *Config) bool { return within(c.RefuseLength, leastMM, mostMM) }},

	{group: "Saws", name: "saws", arg: "FILE",
		about: "YAML or JSON file of the saws that callers may name; by default two invented ones",
		must:  "the name of a file", ok: func(*Config) bool { return true }},
	{group: "Saws", name: "reread-every", arg: "TIME",
		about: "how often the files that the settings name are checked for changes; 0s: only on SIGHUP",
		must:  "0s, or a time from 100ms to 1h",
		ok:    func(c *Config) bool { return c.Poll == 0 || within(c.Poll, leastPoll, mostTime) }},

	{group: "Recording", name: "record", arg: "FILE",
		about: "file that every board, order, saw and plan is appended to as JSON lines; - is standard output",
		must:  "the name of a file, or -", ok: func(*Config) bool { return true }},
	{group: "Recording", name: "record-one-in", arg: "N",
		about: "record one board in this many",
		must:  "a whole number from 1 to 1000000", ok: func(c *Config) bool { return within(c.RecordOneIn, 1, mostSample) }},
	{group: "Recording", name: "record-size", arg: "BYTES",
		about: "size at which the recording is set aside and a new file begun; 0: never",
		must:  "0, or a whole number from 1048576 to 1099511627776",
		ok:    func(c *Config) bool { return c.RecordSize == 0 || within(c.RecordSize, leastRecording, mostRecording) }},
	{group: "Recording", name: "record-age", arg: "TIME",
		about: "age at which the recording is set aside and a new file begun; 0s: never",
		must:  "0s, or a time from 1m to 8760h, such as 24h",
		ok:    func(c *Config) bool { return c.RecordAge == 0 || within(c.RecordAge, time.Minute, 365*24*time.Hour) }},
	{group: "Recording", name: "record-keep", arg: "N",
		about: "number of recordings set aside that are kept; the oldest are removed; 0: all are kept",
		must:  "a whole number from 0 to 1000000", ok: func(c *Config) bool { return within(c.RecordKeep, 0, mostSample) }},

	{group: "Stopping", name: "drain-delay", arg: "TIME",
		about: "how long calls are still served once readiness is off, so that load balancers notice",
		must:  "a time from 0s to 1h, such as 3s", ok: func(c *Config) bool { return within(c.DrainDelay, 0, mostTime) }},
	{group: "Stopping", name: "drain", arg: "TIME",
		about: "how long calls under way may take after that, before they are cut off",
		must:  "a time above 0s and at most 1h, such as 10s",
		ok:    func(c *Config) bool { return within(c.Drain, 1, mostTime) }},

	{group: "Logging", name: "log-level", arg: "LEVEL",
		about: "least level that is logged: debug (every call), info, warn or error",
		must:  "debug, info, warn or error", ok: func(c *Config) bool { return slices.Contains(levels, c.LogLevel) }},
	{group: "Logging", name: "log-format", arg: "FORMAT",
		about: "json (one object a line) or console (for reading)",
		must:  "json or console", ok: func(c *Config) bool { return slices.Contains(formats, c.LogFormat) }},
}

func within[N int | float64 | time.Duration](v, least, most N) bool { return v >= least && v <= most }

func isAddress(s string) bool {
	_, port, err := net.SplitHostPort(s)
	if err != nil {
		return false
	}
	_, err = strconv.ParseUint(port, 10, 16)
	return err == nil
}

// find gives the setting called name, or nil.
func find(name string) *setting {
	i := slices.IndexFunc(settings, func(s setting) bool { return s.name == name })
	if i < 0 {
		return nil
	}
	return &settings[i]
}
