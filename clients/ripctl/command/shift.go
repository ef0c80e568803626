package command

import (
	"context"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// clock is the time of a run: no saw is moved, so a board takes as long as its plan says,
// and the line is stopped for as long as --stops says.
type clock struct {
	stopsAt string
	stops   map[string][]source // by board
	runs    bool                // messages carry the time
	s       float64
}

// now is the time of a message.
func (c *clock) now() *float64 {
	if !c.runs {
		return nil
	}
	return proto.Float64(c.s)
}

// loadStops reads when the line was stopped; each stop must be before a board of the run.
func (k *running) loadStops() error {
	k.clock.stops = map[string][]source{}
	k.clock.runs = k.clock.stopsAt != "" || k.reportAt != ""
	if k.clock.stopsAt == "" {
		return nil
	}
	f, err := k.t.open(k.clock.stopsAt, files.Stops)
	if err != nil {
		return err
	}
	boards := map[string]bool{}
	for _, b := range k.boards {
		boards[b.GetBoardId()] = true
	}
	for i := range f.Messages {
		at, id := source{f, i}, f.BoardID(i)
		switch {
		case id == "":
			return input("%s is missing; name the board that was cut next: board_id: %s", at.at("board_id"), k.boards[0].name())
		case !boards[id]:
			return input("%s is %q; no board has that name; the first one is %q", at.at("board_id"), id, k.boards[0].name())
		case f.Minutes(i) < 0:
			return input("%s is below 0; write it as duration: 12min", at.at("duration_minutes"))
		}
		k.clock.stops[id] = append(k.clock.stops[id], at)
	}
	return nil
}

// stand stops the line before a board is cut, as the file says.
func (k *running) stand(ctx context.Context, b planned) error {
	stops := k.clock.stops[b.GetBoardId()]
	delete(k.clock.stops, b.GetBoardId())
	for _, at := range stops {
		stop := &ripwrightv1.LineStop{}
		if err := at.file.About(at.index, stop); err != nil {
			return failed(err)
		}
		if err := k.tell(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Stop{Stop: stop}}, at); err != nil {
			return err
		}
		k.clock.s += at.file.Minutes(at.index) * 60
		if err := k.tell(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Restart{Restart: &ripwrightv1.LineRestart{}}}, at); err != nil {
			return err
		}
	}
	return nil
}

// tell sends a message about a stop.
func (k *running) tell(ctx context.Context, m *ripwrightv1.RunLineRequest, at source) error {
	a, err := k.ask(ctx, m, at.at)
	if err != nil {
		return err
	}
	if r := a.GetRefused(); r != nil {
		return refusal(r, at.at)
	}
	return failed(k.report.write(a))
}
