package values

// alone gives for each row the policy that fills it most cheaply alone, as a position in
// index.
func (s *search) alone(index []int) []int {
	start := make([]int, len(s.rows))
	for j, k := range s.rows {
		for i, at := range index {
			if at == s.pl.best[k] {
				start[j] = i
			}
		}
	}
	return start
}

// held is a column of a basis: a policy, or, if that is nil, one of the programme's own
// columns, numbered from the first one after the policies.
type held struct {
	policy *policy
	own    int
}

// hold stores a programme's basis by its policies.
func (s *search) hold(basis, index []int) {
	s.basis = s.basis[:0]
	for _, j := range basis {
		if j < len(index) {
			s.basis = append(s.basis, held{policy: s.pl.pool[index[j]]})
		} else {
			s.basis = append(s.basis, held{own: j - len(index)})
		}
	}
}

// near gives the stored basis as columns of a programme with the policies of index; nil
// if there is none, or if some of its policies are gone.
func (s *search) near(index []int) []int {
	at := make(map[*policy]int, len(index))
	for j, i := range index {
		at[s.pl.pool[i]] = j
	}
	var out []int
	for _, h := range s.basis {
		j, left := at[h.policy]
		switch {
		case h.policy == nil:
			j = len(index) + h.own
		case !left:
			return nil
		}
		out = append(out, j)
	}
	return out
}
