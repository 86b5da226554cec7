package trace

import (
	"context"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet/wiring"
)

// A Judgement is what an advice would do, over all that remains: the shares of what is
// likely, which add up to one.
type Judgement struct {
	// Cures is how likely the job is then as good as it is meant to be, in every test
	// there is; LooksRight, how likely it only looks so, by lights and breaker; Leaves, that
	// something is still seen to be wrong; Trips, that some setting is a bolted fault;
	// and Cannot, that it cannot be done at all.
	Cures, LooksRight, Leaves, Trips, Cannot quantity.Ratio
	// By says what it would do to each cause that remains, in the order of
	// Verdict.Fits and of the causes of each.
	By []Judged
}

// Judged is what an advice would do if something were so.
type Judged struct {
	Cause  Cause
	Likely quantity.Ratio
	Does   Outcome
}

// An Outcome is what an advice does. The zero Outcome is unset.
type Outcome uint8

// The outcomes.
const (
	WouldCure      Outcome = iota + 1 // as good as the job is meant to be
	WouldLookRight                    // to lights and breaker only
	WouldNotCure                      // something is still seen to be wrong
	WouldTrip                         // a bolted fault in some setting
	CannotBeDone                      // it cannot be done
)

var outcomeWords = [...]string{"", "cures", "looks right only", "leaves it wrong", "trips", "cannot be done"}

// String returns the words.
func (o Outcome) String() string { return enum.Word(outcomeWords[:], o, "Outcome") }

// MarshalText writes the words; an unset value is an error.
func (o Outcome) MarshalText() ([]byte, error) {
	return enum.Marshal("trace", outcomeWords[:], o, "outcome")
}

// UnmarshalText reads the words.
func (o *Outcome) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", outcomeWords[:], text, "outcome", o)
}

// Judge returns what an advice would do, edits that somebody proposes, before anybody does
// it: each cause that remains, with the edits made, is compared with the job as it is meant
// to be, in every setting and however handles are mounted. In a contradiction it judges the
// nearest, which may all be beside the point. No edits are an advice too: to do nothing.
// A context that ends is an error.
func (s *Session) Judge(ctx context.Context, edits ...wiring.Edit) (Judgement, error) {
	v, err := s.Verdict()
	if err != nil {
		return Judgement{}, err
	}
	sound, err := s.c.rowOf(ctx, s.c.w)
	if err != nil {
		return Judgement{}, err
	}
	var out Judgement
	for _, f := range v.Fits {
		total := 0.0
		for _, x := range f.Class.Causes {
			total += x.share
		}
		for _, x := range f.Class.Causes {
			does, err := s.c.judge(ctx, x, edits, sound)
			if err != nil {
				return Judgement{}, err
			}
			likely := ratio(float64(f.Likely) / float64(quantity.Whole) * x.share / total)
			out.By = append(out.By, Judged{x, likely, does})
			switch does {
			case WouldCure:
				out.Cures += likely
			case WouldLookRight:
				out.LooksRight += likely
			case WouldNotCure:
				out.Leaves += likely
			case WouldTrip:
				out.Trips += likely
			case CannotBeDone:
				out.Cannot += likely
			}
		}
	}
	return out, nil
}

func (c *Case) judge(ctx context.Context, x Cause, edits []wiring.Edit, sound *row) (Outcome, error) {
	w, err := c.w.Apply(x.Fault.Edits...)
	if err != nil {
		return 0, &Error{"Options.Faults", err.Error()}
	}
	if w, err = w.Apply(edits...); err != nil {
		return CannotBeDone, nil
	}
	r, err := c.rowOf(ctx, w)
	if err != nil {
		return 0, err
	}
	for _, s := range r.looks {
		if s.trip {
			return WouldTrip, nil
		}
	}
	switch {
	case c.turned(sound, r):
		return WouldCure, nil
	case c.looksTurned(sound.looks, r.looks):
		return WouldLookRight, nil
	}
	return WouldNotCure, nil
}

// rowOf returns what a wiring shows in every true setting.
func (c *Case) rowOf(ctx context.Context, w *wiring.Wiring) (*row, error) {
	m, err := c.f.model(w)
	if err != nil {
		return nil, err
	}
	r := &row{}
	return r, r.fill(ctx, c, m)
}

// looksTurned reports whether two rows look alike for some way of mounting the handles.
func (c *Case) looksTurned(a, b []sight) bool {
	for s := range 1 << c.f.sp.bits {
		same := true
		for y := range a {
			if same = a[y] == b[y^s]; !same {
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}
