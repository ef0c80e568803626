package wire

import "github.com/ripwright/ripwright/proto/nearest"

// named are saws that list their names.
type named interface{ Names() []string }

// nearestSaw gives the saw that an unknown name most likely meant; empty: there is none.
func nearestSaw(typed string, saws Saws) string {
	if of, ok := saws.(named); ok {
		return nearest.Name(typed, of.Names())
	}
	return ""
}
