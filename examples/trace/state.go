package main

import (
	"context"
	"io"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// State is where a session has come to, as JSON. Lines are those of package lines.
type State struct {
	Job    string       `json:"job"`
	Status trace.Status `json:"status"`
	Fits   []FitState   `json:"fits"`
	// Two is what two faults at once fit, where no single one does; what is next then is
	// what tells these apart.
	Two      *TwoState  `json:"two,omitempty"`
	Next     *NextState `json:"next,omitempty"`
	Refused  []string   `json:"refused,omitempty"`
	Handles  []string   `json:"handles"`
	Steps    [][]string `json:"steps"`
	Cautions []string   `json:"cautions"`
}

// FitState is a group of causes that remains.
type FitState struct {
	Likely quantity.Ratio `json:"likely"`
	Causes []string       `json:"causes"`
	Sound  bool           `json:"sound"`
	Trips  bool           `json:"trips"`
	// Against are the reports that it does not fit, as lines.
	Against []string `json:"against,omitempty"`
}

// TwoState is the pairs of faults that fit, in groups.
type TwoState struct {
	Status trace.Status `json:"status"`
	Tried  int          `json:"tried"`
	Of     int          `json:"of"`
	Pairs  int          `json:"pairs"`
	// All reports that every pair that fits is among them.
	All  bool       `json:"all"`
	Fits []FitState `json:"fits"`
}

// NextState is the test that tells most.
type NextState struct {
	Kind    trace.TestKind `json:"kind"`
	Box     string         `json:"box,omitempty"`
	Steps   []string       `json:"steps"`
	Bits    float64        `json:"bits"`
	Seconds int            `json:"seconds"`
	Cut     bool           `json:"cut,omitempty"`
	// Before are the lines of what has to be done first; Answers follow them.
	Before  []string      `json:"before"`
	Answers []AnswerState `json:"answers"`
}

// AnswerState is one way in which a test may come out.
type AnswerState struct {
	Says   string         `json:"says"`
	Line   string         `json:"line"`
	Likely quantity.Ratio `json:"likely"`
}

// printState prints where the session has come to.
func (d *desk) printState(ctx context.Context, out io.Writer) error {
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	s := State{Job: d.title, Status: v.Status, Fits: []FitState{}, Handles: []string{}, Steps: d.steps, Cautions: cautions.Work()}
	if s.Steps == nil {
		s.Steps = [][]string{}
	}
	for _, h := range d.s.Handles() {
		s.Handles = append(s.Handles, lines.WriteHandle(h))
	}
	if s.Fits, err = d.fitStates(v); err != nil {
		return err
	}
	pairs, err := d.pairs(ctx)
	if err != nil {
		return err
	}
	if pairs != nil {
		v, err := pairs.Session.Verdict()
		if err != nil {
			return err
		}
		s.Two = &TwoState{Status: v.Status, Tried: pairs.Tried, Of: pairs.Of, Pairs: pairs.Pairs, All: pairs.All, Fits: []FitState{}}
		if v.Status != trace.Contradiction {
			if s.Two.Fits, err = d.fitStates(v); err != nil {
				return err
			}
		}
	}
	if d.advice == nil {
		// What the talk proposed last was said to nobody.
		if err := d.propose(ctx); err != nil {
			return err
		}
	}
	for _, r := range d.advice.Refused {
		s.Refused = append(s.Refused, r.String())
	}
	if d.advice.Status == trace.Searching {
		if s.Next, err = d.nextState(); err != nil {
			return err
		}
	}
	return program.WriteJSON(out, s)
}

// fitStates returns groups of causes that remain.
func (d *desk) fitStates(v trace.Verdict) ([]FitState, error) {
	out := []FitState{}
	log := d.s.Log()
	for i := range v.Fits {
		k := &v.Fits[i]
		f := FitState{Likely: k.Likely, Causes: causes(&k.Class), Sound: k.Class.Sound, Trips: k.Class.Trips}
		for _, n := range k.Against {
			line, err := lines.Write(log[n])
			if err != nil {
				return nil, err
			}
			f.Against = append(f.Against, line)
		}
		out = append(out, f)
	}
	return out, nil
}

func causes(k *trace.Class) []string {
	out := make([]string, len(k.Causes))
	for i, c := range k.Causes {
		out[i] = c.String()
	}
	return out
}

func (d *desk) nextState() (*NextState, error) {
	t := d.advice.Test
	n := &NextState{Kind: t.Kind, Box: t.Box, Steps: t.Steps(), Bits: t.Bits, Seconds: int(t.Effort.Seconds()), Cut: d.advice.Cut, Before: []string{}}
	for _, a := range t.Before {
		line, err := lines.Write(trace.Entry{Action: &a})
		if err != nil {
			return nil, err
		}
		n.Before = append(n.Before, line)
	}
	for _, a := range d.answers {
		line, err := lines.Write(trace.Entry{Report: &trace.Report{Of: a.Of}})
		if err != nil {
			return nil, err
		}
		n.Answers = append(n.Answers, AnswerState{Says: d.outcome(a.Of), Line: line, Likely: a.Likely})
	}
	return n, nil
}

// StrategyState is every test and every answer from here to the cause, as JSON.
type StrategyState struct {
	Job          string         `json:"job"`
	Tests        int            `json:"tests"`
	MostTests    int            `json:"most_tests"`
	MostSeconds  int            `json:"most_seconds"`
	LeftOut      int            `json:"left_out"`
	LeftOutShare quantity.Ratio `json:"left_out_share"`
	Root         *BranchState   `json:"root"`
	Cautions     []string       `json:"cautions"`
}

// BranchState is a test with what follows each answer, or an end.
type BranchState struct {
	Status  trace.Status `json:"status"`
	Steps   []string     `json:"steps,omitempty"`
	Refused []string     `json:"refused,omitempty"`
	Ways    []WayState   `json:"ways,omitempty"`
	Causes  [][]string   `json:"causes,omitempty"`
}

// WayState is an answer and what follows it.
type WayState struct {
	Says string       `json:"says"`
	Line string       `json:"line"`
	Then *BranchState `json:"then"`
}

func (d *desk) branchOf(b *trace.Branch) (*BranchState, error) {
	out := &BranchState{Status: b.Status}
	for i := range b.Fits {
		out.Causes = append(out.Causes, causes(&b.Fits[i].Class))
	}
	for _, r := range b.Refused {
		out.Refused = append(out.Refused, r.String())
	}
	if len(b.Ways) > 0 {
		out.Steps = b.Test.Steps()
	}
	for _, w := range b.Ways {
		line, err := lines.Write(trace.Entry{Report: &trace.Report{Of: w.Answer.Of}})
		if err != nil {
			return nil, err
		}
		then, err := d.branchOf(w.Then)
		if err != nil {
			return nil, err
		}
		out.Ways = append(out.Ways, WayState{d.outcome(w.Answer.Of), line, then})
	}
	return out, nil
}

// WalkState is a proving walk, as JSON.
type WalkState struct {
	Job      string     `json:"job"`
	Flips    []string   `json:"flips"`
	Shortest bool       `json:"shortest"`
	Seconds  int        `json:"seconds"`
	Unseen   [][]string `json:"unseen"`
	// Hidden are the pairs of conductors of which no flip shows that they touch.
	Hidden []string `json:"hidden"`
	// Readings expose what no flip shows, everything dead.
	Readings []ReadingState `json:"readings"`
	Cautions []string       `json:"cautions"`
}

// ReadingState is one of them.
type ReadingState struct {
	Between [2]string `json:"between"`
	Want    string    `json:"want"`
	Steps   []string  `json:"steps"`
}

func walkOf(b *bench, w *trace.Walk, proof *trace.Proof) WalkState {
	s := WalkState{Readings: []ReadingState{}, Job: b.title, Flips: []string{}, Shortest: w.Shortest, Seconds: int(w.Effort.Seconds()), Unseen: [][]string{}, Hidden: append([]string{}, w.Hidden...), Cautions: cautions.Work()}
	for _, f := range w.Flips {
		s.Flips = append(s.Flips, lines.Ref(f))
	}
	for _, k := range proof.Checks {
		s.Readings = append(s.Readings, ReadingState{[2]string{lines.Point(k.Test.Between[0]), lines.Point(k.Test.Between[1])}, wants(k), k.Steps()})
	}
	for i := range w.Unseen {
		s.Unseen = append(s.Unseen, causes(&w.Unseen[i]))
	}
	return s
}

// RingOutState is a ring-out list, as JSON.
type RingOutState struct {
	Job      string      `json:"job"`
	Rings    []RingState `json:"rings"`
	Hidden   []string    `json:"hidden"`
	Cautions []string    `json:"cautions"`
}

// RingState is one continuity test.
type RingState struct {
	Between [2]string  `json:"between"`
	Want    trace.Path `json:"want"`
	Exposes []string   `json:"exposes"`
}

func ringOutOf(title string, r *trace.RingOut) RingOutState {
	s := RingOutState{Job: title, Rings: []RingState{}, Hidden: []string{}, Cautions: cautions.Work()}
	for _, g := range r.Rings {
		ring := RingState{Between: [2]string{lines.Point(g.Between[0]), lines.Point(g.Between[1])}, Want: g.Want, Exposes: []string{}}
		for _, f := range g.Exposes {
			ring.Exposes = append(ring.Exposes, f.Says)
		}
		s.Rings = append(s.Rings, ring)
	}
	for _, f := range r.Hidden {
		s.Hidden = append(s.Hidden, f.Says)
	}
	return s
}
