package mqtt

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/eclipse/paho.golang/autopaho"
	"github.com/eclipse/paho.golang/packets"
	"github.com/eclipse/paho.golang/paho"
	"go.uber.org/zap"
)

// send publishes the state and the waiting messages, oldest first, each until it is
// accepted. It ends once everything is kept and nothing waits, or live ends.
func (p *Publisher) send(live context.Context, kept <-chan struct{}, c *autopaho.ConnectionManager) {
	tries, of := 0, uint64(0) // connections that ended over a message
	for live.Err() == nil {
		select {
		case <-p.stale:
			p.mu.Lock()
			text, _ := json.Marshal(p.state)
			p.mu.Unlock()
			if f := p.publish(live, c, message{Topic: p.Topic + "/state", Retain: true, Payload: text}); f == untaken || f == cutOff {
				wake(p.stale)
			}
			continue
		default:
		}
		n, m, err := p.queue.first()
		if err != nil {
			p.drop(unkept, 1)
			p.Log.Warn("a queued message cannot be read", zap.Error(err))
			continue
		}
		if n == 0 {
			select {
			case <-p.queue.ready:
			case <-p.stale:
				wake(p.stale)
			case <-kept:
				if p.queue.waiting() == 0 && len(p.stale) == 0 {
					return
				}
			case <-live.Done():
			}
			continue
		}
		if n != of {
			tries, of = 0, n
		}
		switch p.publish(live, c, m) {
		case untaken:
			continue
		case cutOff:
			if tries++; tries < fatal {
				continue
			}
			p.Log.Warn("the MQTT broker disconnected at a message", zap.String("topic", m.Topic), zap.Int("times", tries))
			p.drop(refused, 1)
		case turned:
			p.drop(refused, 1)
		case taken:
			p.metrics.sent.Inc()
		}
		if err := p.queue.sent(n); err != nil {
			p.Log.Warn("a sent message cannot be removed from the queue", zap.Error(err))
		}
		p.metrics.waiting.Set(float64(p.queue.waiting()))
	}
}

// fate of a published message.
type fate int

const (
	taken   fate = iota
	turned       // refused for good
	untaken      // not accepted yet
	cutOff       // the connection ended over it
)

// fatal is the number of successive connections that end over a message before the
// message is held responsible: brokers disconnect on one that is too long for them,
// whether or not they have announced the limit.
const fatal = 5

// publish tries once to have a message accepted.
func (p *Publisher) publish(ctx context.Context, c *autopaho.ConnectionManager, m message) fate {
	link := p.connects(ctx)
	if link == nil {
		return untaken
	}
	if most := p.largest.Load(); most > 0 && uint64(len(m.Topic)+len(m.Payload)+overhead) > uint64(most) {
		p.Log.Warn("a message exceeds the MQTT broker's maximum packet size", zap.String("topic", m.Topic), zap.Int("bytes", len(m.Payload)))
		return turned
	}
	utf8 := byte(1)
	a, err := c.Publish(link, &paho.Publish{QoS: 1, Retain: m.Retain, Topic: m.Topic, Payload: m.Payload,
		Properties: &paho.PublishProperties{ContentType: contentType, PayloadFormat: &utf8}})
	switch {
	case err == nil:
		return taken
	case errors.Is(err, paho.ErrInvalidArguments) || a != nil && final(a.ReasonCode):
		p.Log.Warn("the MQTT broker refused a message", zap.String("topic", m.Topic), zap.Error(err))
		return turned
	case ctx.Err() != nil:
		return untaken
	}
	p.Log.Debug("the MQTT broker has not acknowledged a message", zap.Error(err))
	select {
	case <-time.After(again):
	case <-ctx.Done():
	}
	if link.Err() != nil {
		return cutOff
	}
	return untaken
}

// final distinguishes codes after which the broker will not accept the message if it is
// sent again.
func final(code byte) bool {
	switch code {
	case packets.PubackNotAuthorized, packets.PubackTopicNameInvalid, packets.PubackPayloadFormatInvalid:
		return true
	}
	return false
}
