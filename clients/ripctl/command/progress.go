package command

import (
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows the progress of long work on a terminal, and nothing elsewhere.
type progress struct {
	of   int
	bar  *progressbar.ProgressBar
	to   *os.File // nil: not a terminal
	what string
}

func (t *tool) progress(what string) *progress {
	p := &progress{what: what}
	if f, ok := t.err.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		p.to = f
	}
	return p
}

// set shows n out of a total.
func (p *progress) set(n, of int) {
	if p.to == nil || of <= 0 {
		return
	}
	if p.bar == nil || p.of != of {
		p.of = of
		p.bar = progressbar.NewOptions(of, progressbar.OptionSetWriter(p.to), progressbar.OptionSetDescription(p.what),
			progressbar.OptionShowCount(), progressbar.OptionClearOnFinish())
	}
	_ = p.bar.Set(n) // failing to draw a bar is no reason to stop
}

// end removes the bar.
func (p *progress) end() {
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
