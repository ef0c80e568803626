package secure

import (
	"context"
	"crypto/sha256"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/textfile"
)

// Source is read from files and can be read again.
type Source interface {
	Kind() string // in metrics
	Files() []string
	Reload() error
}

// Watcher is told the results of reading files again, for metrics.
type Watcher interface {
	Reloaded(name string, loaded bool)
	// Certificate is told when the certificate in force expires.
	Certificate(until time.Time)
}

// Kind implements Source.
func (k *Keys) Kind() string { return "tls" }

// Kind implements Source.
func (t *Tokens) Kind() string { return "tokens" }

// Files from which the keys are read.
func (k *Keys) Files() []string {
	if k.clients == "" {
		return []string{k.cert, k.key}
	}
	return []string{k.cert, k.key, k.clients}
}

// Files from which the tokens are read.
func (t *Tokens) Files() []string { return []string{t.file} }

// Reload reads sources again and reports the results.
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

// Watch reads a source again when its files have changed and then stayed the same from
// one look to the next, until ctx is done. Contents are compared, so that a link that
// points elsewhere is noticed too, and several files that change one after the other are
// read together.
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
