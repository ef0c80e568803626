package line

import "github.com/ripwright/ripwright/server/wire"

// drifts makes metrics show how far the widths of the line's saw have drifted, until the
// session closes or changes to another saw.
func (s *session) drifts() {
	if s.run.Drift == nil {
		return
	}
	mark := wire.Mark{Saw: s.line.Saw.Message.GetName(), Changed: s.run.Drift.Changed}
	if s.drift != nil && *s.drift != mark {
		s.undrift()
	}
	s.drift = &mark
	s.cfg.Watch.Drifts(s.caller, mark, s.run.Drift.Charts)
}

// undrift removes that from the metrics.
func (s *session) undrift() {
	if s.drift != nil {
		s.cfg.Watch.Drifts(s.caller, *s.drift, nil)
		s.drift = nil
	}
}
