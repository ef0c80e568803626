package shrink

import "strings"

// known are the species with built-in figures. Those of yellow-poplar, northern red oak
// and sugar maple were written down from memory of the same tables; the others were read
// there.
var known = []Species{
	{"black cherry", 3.7, 7.1, 11.5, .00126, .00248},
	{"black walnut", 5.5, 7.8, 12.8, .00190, .00274},
	{"white ash", 4.9, 7.8, 13.3, .00169, .00274},
	{"white oak", 5.6, 10.5, 16.3, .00180, .00365},
	{"yellow birch", 7.3, 9.5, 16.8, .00256, .00338},
	{"sweetgum", 5.3, 10.2, 15.8, .00183, .00365},
	{"yellow-poplar", 4.6, 8.2, 12.7, .00158, .00289},
	{"northern red oak", 4.0, 8.6, 13.7, .00158, .00369},
	{"sugar maple", 4.8, 9.9, 14.7, .00165, .00353},
}

// Known lists the names of the built-in species.
func Known() []string {
	names := make([]string, len(known))
	for i := range known {
		names[i] = known[i].Name
	}
	return names
}

// Find gives a species by its name, in upper or lower case.
func Find(name string) (Species, bool) {
	for _, s := range known {
		if strings.EqualFold(s.Name, name) {
			return s, true
		}
	}
	return Species{}, false
}
