package sim

import (
	"context"
	"fmt"
	"sync/atomic"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// insistAfter is how long a board waits before it is sent again.
const insistAfter = 20 * time.Millisecond

// receive passes on the answers of a stream until it ends.
func receive(ctx context.Context, s ripwrightv1.RipService_RunLineClient, opened *atomic.Bool) (<-chan *ripwrightv1.RunLineResponse, <-chan error) {
	answers := make(chan *ripwrightv1.RunLineResponse, 128)
	ended := make(chan error, 1)
	go func() {
		for {
			a, err := s.Recv()
			if err != nil {
				ended <- err
				return
			}
			opened.Store(true)
			select {
			case answers <- a:
			case <-ctx.Done():
				ended <- ctx.Err()
				return
			}
		}
	}()
	return answers, ended
}

// resume sends the state and checks that the run is where it was.
func (l *line) resume(s ripwrightv1.RipService_RunLineClient, answers <-chan *ripwrightv1.RunLineResponse, ended <-chan error) error {
	if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
		Resume: &ripwrightv1.LineResume{State: l.state, RunId: l.cfg.SetUp.GetRunId(), OrderId: l.orders.now.GetOrderId(),
			ArborFingerprint: l.control.Fingerprint}}}); err != nil {
		return <-ended
	}
	select {
	case a := <-answers:
		if a.GetSequence() != l.answered || a.GetResumed() == nil || len(a.GetResumed().GetReady().GetUnconfirmed()) != l.unconfirmed() {
			return fmt.Errorf("resumed at message %d with %d unconfirmed boards, want %d with %d", a.GetSequence(),
				len(a.GetResumed().GetReady().GetUnconfirmed()), l.answered, l.unconfirmed())
		}
		if !proto.Equal(a.GetValues(), l.values) {
			return fmt.Errorf("resumed with values %v, want %v", a.GetValues(), l.values)
		}
		return l.outfeed.lies(a.GetResumed().GetReady().GetOutfeedBays())
	case err := <-ended:
		return err
	}
}

// send sends what is due from message *next on, and stores in quiet when the first
// unanswered message was sent.
func (l *line) send(s ripwrightv1.RipService_RunLineClient, ended <-chan error, next *int32, quiet *time.Time) error {
	for int(*next) < len(l.log) || l.more() {
		m := l.log[*next]
		if *next == l.answered {
			*quiet = time.Now()
		}
		m.again = m.again || !m.at.IsZero()
		if m.at.IsZero() {
			m.at = time.Now()
		}
		*next++
		if err := s.Send(m.RunLineRequest); err != nil {
			return <-ended
		}
		if l.chaos.Float64() < l.cfg.Breaks {
			l.report.Breaks++
			if l.cfg.Broke != nil {
				l.cfg.Broke()
			}
			return errBroken
		}
	}
	return nil
}

// stream continues the run on one stream until that ends.
func (l *line) stream(ctx context.Context) error {
	client, hangUp, err := l.cfg.Dial(ctx)
	if err != nil {
		return err
	}
	defer hangUp()
	var opened atomic.Bool // an answer has come
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	if l.silence > 0 { // a hanging replica does not even accept the call
		defer time.AfterFunc(l.silence, func() {
			if !opened.Load() {
				cancel()
			}
		}).Stop()
	}
	s, err := client.RunLine(ctx)
	if err != nil {
		return err
	}
	answers, ended := receive(ctx, s, &opened)
	next := l.answered // index of the message to send next
	if l.state != nil {
		if err := l.resume(s, answers, ended); err != nil {
			return err
		}
	}
	quiet := time.Now() // since when an answer has been overdue
	for {
		if err := l.send(s, ended, &next, &quiet); err != nil {
			return err
		}
		var tick <-chan time.Time
		if l.cfg.Every > 0 || len(l.again) > 0 {
			tick = time.After(max(min(time.Until(l.nextAt), insistAfter), time.Millisecond))
		}
		var silent <-chan time.Time
		if l.silence > 0 && next > l.answered {
			silent = time.After(time.Until(quiet.Add(l.silence)))
		}
		select {
		case <-silent:
			return errSilent
		case a := <-answers:
			quiet = time.Now()
			if err := l.heed(a); err != nil {
				return err
			}
			if l.done {
				return nil
			}
		case err := <-ended:
			// What came before the end still counts.
			for len(answers) > 0 {
				if err := l.heed(<-answers); err != nil {
					return err
				}
			}
			return err
		case <-tick:
		}
	}
}
