package trace

import (
	"cmp"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
)

// A Status says how far a session has come. The zero Status is unset.
type Status uint8

// The statuses.
const (
	// Searching: more than one class remains.
	Searching Status = iota + 1
	// Found: one class of faults remains. A success.
	Found
	// NothingWrong: the one class that remains is that in which nothing is wrong. A
	// success.
	NothingWrong
	// Contradiction: no single fault gives all that was reported, but for reports that were
	// doubted enough to leave a part in 200 of one. A report is wrong, or two things are.
	Contradiction
	// Ended: brittle insulation was found.
	Ended
	// NoTest: more than one class remains, and no test that is allowed, possible and
	// not refused tells them apart.
	NoTest
)

var statusWords = [...]string{"", "searching", "found", "nothing wrong", "no single fault gives this", "ended", "no test left"}

// String returns the words.
func (s Status) String() string { return enum.Word(statusWords[:], s, "Status") }

// MarshalText writes the words; an unset value is an error.
func (s Status) MarshalText() ([]byte, error) {
	return enum.Marshal("trace", statusWords[:], s, "status")
}

// UnmarshalText reads the words.
func (s *Status) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", statusWords[:], text, "status", s)
}

// A Fit is a class that remains.
type Fit struct {
	Class Class
	// Likely is how likely it is, of all that remain.
	Likely quantity.Ratio
	// Against lists the reports that it does not fit, as indices into the log: all of them in
	// a Contradiction, and where nothing is left that all reports fit; otherwise none.
	Against []int
	index   int
	mass    float64
	senses  []int // of the nearest: those that as few reports speak against
}

// A Verdict is what a session has come to.
type Verdict struct {
	Status Status
	// Fits are the classes that remain, the likeliest first and of equals the first
	// in the order of the classes: every class that no report speaks against, or only
	// such as may well be wrong. In a Contradiction they are those that the fewest
	// reports speak against, and Against says which.
	Fits []Fit
}

// Verdict returns what the reports have come to. It takes time in proportion to the
// classes times the senses; in a contradiction, times the reports too. An error means
// that the model of a class could not be made.
func (s *Session) Verdict() (Verdict, error) {
	v, err := s.verdict()
	if err == nil && s.top < 1 && s.believable() {
		err = s.misfits(v.Fits)
	}
	return v, err
}

// verdict does not say what does not fit what may well be so.
func (s *Session) verdict() (Verdict, error) {
	var v Verdict
	senses := 1 << s.c.f.sp.bits
	best := s.best()
	if !s.believable() {
		v.Status = Contradiction
		var err error
		v.Fits, err = s.nearest()
		if s.brittle != "" {
			v.Status = Ended
		}
		return v, err
	}
	for _, i := range s.alive {
		mass, in := 0.0, false
		for n := i * senses; n < (i+1)*senses; n++ {
			if s.credit[n]*remains >= best {
				mass += s.weight[n]
				in = true
			}
		}
		if in {
			v.Fits = append(v.Fits, Fit{Class: s.c.classes[i].Class, index: i, mass: mass})
		}
	}
	s.rank(v.Fits)
	switch {
	case s.brittle != "":
		v.Status = Ended
	case len(v.Fits) > 1:
		v.Status = Searching
	case v.Fits[0].Class.Sound:
		v.Status = NothingWrong
	default:
		v.Status = Found
	}
	return v, nil
}

// best returns what the reports leave of the possibility of which they leave most.
func (s *Session) best() float64 { return s.top }

// believable reports whether something is left that may well be so: nothing speaks against
// it, or only reports that are doubted enough.
func (s *Session) believable() bool { return s.top*remains >= 1 }

// rank shares the likelihood out among what is listed and sorts it.
func (s *Session) rank(fits []Fit) {
	total := 0.0
	for _, f := range fits {
		total += f.mass
	}
	for i := range fits {
		if total > 0 {
			fits[i].Likely = ratio(fits[i].mass / total)
		}
	}
	slices.SortStableFunc(fits, func(a, b Fit) int {
		return cmp.Or(cmp.Compare(b.Likely, a.Likely), cmp.Compare(a.index, b.index))
	})
}

// compiled returns what all reports are evidence of, and which entries of the log they are.
func (s *Session) compiled() (reports []evidence, at []int) {
	for k, entry := range s.log {
		if entry.Report == nil {
			continue
		}
		var errs Errors
		reports = append(reports, entry.Report.Of.compile(s.c, &errs))
		at = append(at, k)
	}
	return reports, at
}

// fits returns how likely a report is under a class with a sense of the handles.
func (s *Session) fits(e evidence, i, sense int) (float64, error) {
	fits := 1.0
	if e.class != nil {
		fits = e.class(&s.c.classes[i])
	}
	for _, x := range e.settings {
		switch {
		case fits == 0:
		case e.look != nil:
			fits *= e.look(&s.c.classes[i], x^sense)
		default:
			f, err := s.fact(i, x^sense)
			if err != nil {
				return 0, err
			}
			fits *= e.read(f)
		}
	}
	return fits, nil
}

// misfits says of classes which reports the likeliest of their senses does not fit.
func (s *Session) misfits(fits []Fit) error {
	senses := 1 << s.c.f.sp.bits
	reports, at := s.compiled()
	for i := range fits {
		f := &fits[i]
		best := 0
		for sense := range senses {
			if s.weight[f.index*senses+sense] > s.weight[f.index*senses+best] {
				best = sense
			}
		}
		for k, e := range reports {
			w, err := s.fits(e, f.index, best)
			if err != nil {
				return err
			}
			if w == 0 {
				f.Against = append(f.Against, at[k])
			}
		}
	}
	return nil
}

// nearest returns the classes that the fewest reports speak against, each with the
// reports that the likeliest of its senses does not fit.
func (s *Session) nearest() ([]Fit, error) {
	senses := 1 << s.c.f.sp.bits
	n := len(s.c.classes) * senses
	misses := make([]int, n)
	soft := make([]float64, n)
	for i := range s.c.classes {
		for sense := range senses {
			soft[i*senses+sense] = s.c.classes[i].share / float64(senses)
		}
	}
	reports, at := s.compiled()
	least := len(reports) + 1
	for i := range s.c.classes {
		for sense := range senses {
			for _, e := range reports {
				fits, err := s.fits(e, i, sense)
				if err != nil {
					return nil, err
				}
				if fits == 0 {
					misses[i*senses+sense]++
					if misses[i*senses+sense] > least {
						break
					}
				}
				// A report that may be wrong, once in ten times.
				soft[i*senses+sense] *= 0.9*fits + 0.1*wrongly
			}
			least = min(least, misses[i*senses+sense])
		}
	}
	var out []Fit
	for i := range s.c.classes {
		best, mass := -1, 0.0
		var of []int
		for sense := range senses {
			n := i*senses + sense
			if misses[n] == least {
				mass += soft[n]
				of = append(of, sense)
				if best < 0 || soft[n] > soft[best] {
					best = n
				}
			}
		}
		if best < 0 {
			continue
		}
		f := Fit{Class: s.c.classes[i].Class, index: i, mass: mass, senses: of}
		for k, e := range reports {
			fits, err := s.fits(e, i, best%senses)
			if err != nil {
				return nil, err
			}
			if fits == 0 {
				f.Against = append(f.Against, at[k])
			}
		}
		out = append(out, f)
	}
	s.rank(out)
	return out, nil
}
