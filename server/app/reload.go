package app

import "github.com/ripwright/ripwright/server/secure"

// Reload reads all files again.
func (a *App) Reload() {
	a.saws.Reload()
	if a.record != nil {
		a.record.Reopen()
	}
	secure.Reload(a.log, a.watch, a.sources()...)
}

// sources lists the files that are read, apart from the saws.
func (a *App) sources() (all []secure.Source) {
	if a.cfg.Keys != nil {
		all = append(all, a.cfg.Keys)
	}
	if a.cfg.Tokens != nil {
		all = append(all, a.cfg.Tokens)
	}
	return all
}
