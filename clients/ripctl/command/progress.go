package command

import (
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows on a terminal how far long work is, and nothing elsewhere.
type progress struct {
	of   int
	bar  *progressbar.ProgressBar
	to   *os.File // nil: no terminal
	what string
}

func (t *tool) progress(what string) *progress {
	p := &progress{what: what}
	if f, ok := t.err.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		p.to = f
	}
	return p
}

// set shows n of so many.
func (p *progress) set(n, of int) {
	if p.to == nil || of <= 0 {
		return
	}
	if p.bar == nil || p.of != of {
		p.of = of
		p.bar = progressbar.NewOptions(of, progressbar.OptionSetWriter(p.to), progressbar.OptionSetDescription(p.what),
			progressbar.OptionShowCount(), progressbar.OptionClearOnFinish())
	}
	_ = p.bar.Set(n) // a bar that cannot be drawn is no reason to stop
}

// end takes the bar away.
func (p *progress) end() {
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
