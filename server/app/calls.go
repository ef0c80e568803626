package app

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/withhold"
)

// calls assembles the services for boards and lines.
func (a *App) calls(m *metrics.Metrics, plans line.Planner) (ripwrightv1.RipServiceServer, error) {
	var err error
	a.record, err = record.Open(record.Config{File: a.cfg.Record, OneIn: a.cfg.RecordOneIn, Log: a.log, Metric: m.Registry, Now: time.Now})
	if err != nil {
		return nil, err
	}
	a.cfg.Service.Memory, a.cfg.Service.Room = a.cfg.SearchMemory, a.cfg.Room
	boards, lines := a.cfg.Service, line.Config{Saws: a.saws, Watch: m, Now: time.Now, Closing: a.closing, Planner: plans, Room: a.cfg.Room, Against: a.cfg.Against}
	withheld := &withhold.Desk{Log: a.log, Watch: m}
	if a.record != nil {
		boards.Record, lines.Record, withheld.Record = a.record, a.record, a.record
	}
	boards.Withheld, lines.Withheld = withheld, withheld
	s := service.New(a.saws, boards, m, time.Now)
	lines.Solver = s
	m.Queue(s.Waiting)
	served := line.New(lines)
	a.work.Boards, a.work.Lines = s.State, served.UnderWay
	return struct {
		*service.Service
		*line.Server
	}{s, served}, nil
}
