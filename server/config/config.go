// Package config defines the settings and reads them from flags, the environment and a
// file, each under the same name everywhere.
//
// A setting called longest-solve is the flag --longest-solve, the variable
// RIPWRIGHT_LONGEST_SOLVE and the file's key longest-solve. A flag outranks the
// environment, which outranks the file, which outranks the default. Every fault is
// reported, even in a value that a higher rank replaces.
package config

import (
	"reflect"
	"runtime"
	"time"

	"github.com/ripwright/ripwright/server/workers"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// Config is all settings. Each field's tag is its setting's name; the table of settings
// says what it means.
type Config struct {
	GRPC    string `setting:"grpc"`
	HTTP    string `setting:"http"`
	MaxBody int    `setting:"max-body"`
	Page    bool   `setting:"page"`

	Health         string `setting:"health"`
	HealthMetrics  bool   `setting:"health-metrics"`
	HealthProfiles bool   `setting:"health-profiles"`

	Cert      string `setting:"tls-cert"`
	Key       string `setting:"tls-key"`
	Clients   string `setting:"tls-client-ca"`
	Tokens    string `setting:"tokens"`
	Plaintext bool   `setting:"plaintext"`
	Hosts     string `setting:"hosts"`

	Calls             int           `setting:"calls"`
	CallerCalls       int           `setting:"caller-calls"`
	CallerWaiting     int           `setting:"caller-waiting"`
	Connections       int           `setting:"connections"`
	CallerConnections int           `setting:"caller-connections"`
	Age               time.Duration `setting:"connection-age"`

	Solves  int           `setting:"solves"`
	Waiting int           `setting:"waiting"`
	Longest time.Duration `setting:"longest-solve"`
	// SearchMemory is for all searches together, including those of plans.
	SearchMemory int `setting:"search-memory"`

	PlanWorkers int           `setting:"plan-workers"`
	PlanWaiting int           `setting:"plan-waiting"`
	LongestPlan time.Duration `setting:"longest-plan"`
	Currency    string        `setting:"currency"`

	// The thresholds for measured strips, in mm.
	DoubtWidth   float64 `setting:"doubt-width"`
	DoubtLength  float64 `setting:"doubt-length"`
	RefuseWidth  float64 `setting:"refuse-width"`
	RefuseLength float64 `setting:"refuse-length"`

	Saws string        `setting:"saws"`
	Poll time.Duration `setting:"reread-every"`

	Record      string        `setting:"record"`
	RecordOneIn int           `setting:"record-one-in"`
	RecordSize  int           `setting:"record-size"`
	RecordAge   time.Duration `setting:"record-age"`
	RecordKeep  int           `setting:"record-keep"`

	DrainDelay time.Duration `setting:"drain-delay"`
	Drain      time.Duration `setting:"drain"`

	LogLevel  string `setting:"log-level"`
	LogFormat string `setting:"log-format"`
}

// Default gives the settings of a server that is given none.
func Default() Config {
	return Config{
		GRPC:        "127.0.0.1:7420",
		HTTP:        "127.0.0.1:7421",
		MaxBody:     4 << 20,
		Calls:       1024,
		CallerCalls: 64, CallerWaiting: 64,
		Connections: 1024, CallerConnections: 64,
		Page:        true,
		Solves:      runtime.GOMAXPROCS(0),
		Waiting:     256,
		Longest:     2 * time.Second,
		PlanWorkers: workers.Default(),
		PlanWaiting: 32,
		LongestPlan: 10 * time.Minute,
		DoubtWidth:  run.Usual.DoubtWidth.MM(), DoubtLength: run.Usual.DoubtLength.MM(),
		RefuseWidth: run.Usual.RefuseWidth.MM(), RefuseLength: run.Usual.RefuseLength.MM(),
		Poll:        2 * time.Second,
		RecordOneIn: 1,
		RecordSize:  256 << 20,
		RecordAge:   24 * time.Hour,
		RecordKeep:  14,
		DrainDelay:  3 * time.Second,
		Drain:       10 * time.Second,
		LogLevel:    "info",
		LogFormat:   "json",
	}
}

// field gives the field of the setting called name.
func (c *Config) field(name string) reflect.Value {
	v := reflect.ValueOf(c).Elem()
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get(tag) == name {
			return v.Field(i)
		}
	}
	panic("config: no field for the setting " + name) // a test covers all of them
}

func (c *Config) value(name string) any { return c.field(name).Interface() }

const tag = "setting"

// Thresholds are those for measured strips.
func (c *Config) Thresholds() run.Thresholds {
	mm := func(v float64) unit.Length { l, _ := unit.FromMM(v); return l } // within bounds
	return run.Thresholds{DoubtWidth: mm(c.DoubtWidth), DoubtLength: mm(c.DoubtLength),
		RefuseWidth: mm(c.RefuseWidth), RefuseLength: mm(c.RefuseLength)}
}
