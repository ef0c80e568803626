package secure

import (
	"context"
	"crypto/sha256"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/textfile"
)

// Source is something that is read from files and can be read anew.
type Source interface {
	Kind() string // in metrics
	Files() []string
	Reload() error
}

// Watcher is told what came of reading files anew, for metrics.
type Watcher interface {
	Reloaded(name string, loaded bool)
	// Certificate is told until when the one in force holds.
	Certificate(until time.Time)
}

// Kind implements Source.
func (k *Keys) Kind() string { return "tls" }

// Kind implements Source.
func (t *Tokens) Kind() string { return "tokens" }

// Files that the keys are read from.
func (k *Keys) Files() []string {
	if k.clients == "" {
		return []string{k.cert, k.key}
	}
	return []string{k.cert, k.key, k.clients}
}

// Files that the tokens are read from.
func (t *Tokens) Files() []string { return []string{t.file} }

// Reload reads sources anew and says what came of it.
func Reload(log *zap.Logger, watch Watcher, sources ...Source) {
	for _, s := range sources {
		err := s.Reload()
		watch.Reloaded(s.Kind(), err == nil)
		if k, ok := s.(*Keys); ok {
			watch.Certificate(k.Until())
		}
		if err != nil {
			log.Error("reload refused; what was read before stays in force", zap.Strings("files", s.Files()), zap.Error(err))
			continue
		}
		log.Info("reloaded", zap.Strings("files", s.Files()))
	}
}

// Watch reads a source anew when its files have changed and then stayed the same
// from one look to the next, until ctx is done. Contents are compared, so that a
// link that points elsewhere is seen too, and several files that change one
// after the other are taken together.
func Watch(ctx context.Context, every time.Duration, log *zap.Logger, watch Watcher, s Source) {
	if every <= 0 {
		return
	}
	tick := time.NewTicker(every)
	defer tick.Stop()
	taken := look(s)
	for seen := taken; ; {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := look(s)
		if now == seen && now != taken {
			Reload(log, watch, s)
			taken = now
		}
		seen = now
	}
}

func look(s Source) [sha256.Size]byte {
	h := sha256.New()
	for _, f := range s.Files() {
		raw, err := textfile.Read(f, mostFile)
		if err != nil {
			raw = []byte(err.Error())
		}
		part := sha256.Sum256(raw)
		h.Write(part[:])
	}
	return [sha256.Size]byte(h.Sum(nil))
}
