package lab_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// practice returns the practice wiring of the shed as it should be.
func practice(tb testing.TB, opt lab.PracticeOptions, edits ...wiring.Edit) *lab.Practice {
	tb.Helper()
	j, err := shedJob()
	if err != nil {
		tb.Fatal(err)
	}
	w, err := j.Wiring.Apply(edits...)
	if err != nil {
		tb.Fatal(err)
	}
	opt.Table = &j.Region.Conductor
	p, err := lab.NewPractice(w, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// do makes the moves of lines and returns the last outcome.
func do(tb testing.TB, p *lab.Practice, lines ...string) lab.Outcome {
	tb.Helper()
	var out lab.Outcome
	for _, l := range lines {
		m, err := lab.ParseMove(l)
		if err != nil {
			tb.Fatal(err)
		}
		if out, err = p.Do(m); err != nil {
			tb.Fatalf("%s: %v", l, err)
		}
	}
	return out
}

func kinds(ds []lab.Danger) []string {
	var out []string
	for _, d := range ds {
		out = append(out, d.Kind.String())
	}
	return out
}

// TestDangers makes each dangerous move, and the move that is not.
func TestDangers(t *testing.T) {
	t.Parallel()
	neutralOnTraveler := wiring.TieJoints{Box: "loft", A: wiring.WireJoint("C5", "white"), B: wiring.WireJoint("C5", "red")}
	tests := []struct {
		why   string
		edits []wiring.Edit
		lines []string
		want  []string // dangers
	}{
		{"looking and flipping a sound job is no danger", nil, []string{"look", "flip loft/aisle", "look"}, nil},
		{"a reading over what was not proven", nil, []string{"read slip-door/C2/black slip-door/C2/white"}, []string{"unproven reference"}},
		{"and over what was", nil, []string{"prove slip-door/C2/white", "read slip-door/C2/black slip-door/C2/white"}, nil},
		{"a proof does not outlive a lock-out", nil, []string{"prove slip-door/C2/white", "lock-out", "energize", "read slip-door/C2/black slip-door/C2/white"}, []string{"unproven reference"}},
		{"the ohmmeter on a live circuit", nil, []string{"continuity loft/C5/red loft/C5/black"}, []string{"ohmmeter on a live circuit"}},
		{"the ohmmeter behind a lock alone", nil, []string{"lock-out", "continuity loft/C5/red loft/C5/black"}, []string{"not proven dead"}},
		{"and proven dead", nil, []string{"lock-out", "prove-dead loft", "continuity loft/C5/red loft/C5/black"}, nil},
		{"proven dead before the lock-out is not proven", nil, []string{"prove-dead loft", "lock-out", "continuity loft/C5/red loft/C5/black"}, []string{"not proven dead"}},
		{"lifting a wire live", nil, []string{"lift loft/C7/black"}, []string{"work on live conductors"}},
		{"energizing with it hanging", nil, []string{"lock-out", "prove-dead loft", "lift loft/C7/black", "energize"}, []string{"open ends energized"}},
		{"and capped", nil, []string{"lock-out", "prove-dead loft", "lift loft/C7/black", "cap loft/C7/black", "energize"}, nil},
		{"and put back", nil, []string{"lock-out", "prove-dead loft", "lift loft/C7/black", "undo", "energize"}, nil},
		{"the flip that trips, known to whoever knows the wiring", []wiring.Edit{neutralOnTraveler}, []string{"flip store-door/aisle"}, []string{"may be a bolted fault", "tripped"}},
	}
	for _, tt := range tests {
		p := practice(t, lab.PracticeOptions{}, tt.edits...)
		if p.Tripped() {
			// The job trips at rest: take the other setting first, on a locked circuit.
			p = practice(t, lab.PracticeOptions{Dead: true}, tt.edits...)
			do(t, p, "flip store-door/aisle", "energize")
		}
		before := len(p.Dangers())
		out := do(t, p, tt.lines...)
		got := kinds(p.Dangers()[before:])
		if !slices.Equal(got, tt.want) {
			t.Errorf("%s: dangers %q, want %q (%s)", tt.why, got, tt.want, out.Says)
		}
		for _, d := range p.Dangers() {
			if d.Why == "" || d.Move < 0 || d.Move >= len(p.Log()) {
				t.Errorf("%s: danger %s of move %d is not explained", tt.why, d.Kind, d.Move)
			}
		}
	}
}

// TestAfterATrip holds the practice wiring to what a breaker does: it stays open until
// somebody resets it, and that is a danger.
func TestAfterATrip(t *testing.T) {
	t.Parallel()
	tie := wiring.TieJoints{Box: "loft", A: wiring.WireJoint("C7", "white"), B: wiring.WireJoint("C7", "black")}
	p := practice(t, lab.PracticeOptions{Dead: true}, tie)
	out := do(t, p, "energize")
	if !out.Tripped {
		out = do(t, p, "flip loft/aisle")
	}
	if !out.Tripped || !p.Tripped() {
		t.Fatalf("a leg on the neutral does not trip: %s", out.Says)
	}
	if out = do(t, p, "look"); out.Lights != nil {
		t.Errorf("with the breaker open lights are %v", out.Lights)
	}
	before := len(p.Dangers())
	do(t, p, "reset")
	if got := kinds(p.Dangers()[before:]); !slices.Contains(got, "energized after a trip") {
		t.Errorf("resetting: dangers %q", got)
	}
}

// TestSuspects flips a switch that would be a bolted fault under one possibility, and
// again after a dead test has ruled that out.
func TestSuspects(t *testing.T) {
	t.Parallel()
	j, err := shedJob()
	if err != nil {
		t.Fatal(err)
	}
	tied, err := j.Wiring.Apply(wiring.TieJoints{Box: "loft", A: wiring.WireJoint("C7", "white"), B: wiring.WireJoint("C7", "black")})
	if err != nil {
		t.Fatal(err)
	}
	start := func() *lab.Practice {
		p, err := lab.NewPractice(j.Wiring, lab.PracticeOptions{Table: &j.Region.Conductor, Suspects: []*wiring.Wiring{j.Wiring, tied}, Dead: true})
		if err != nil {
			t.Fatal(err)
		}
		// The aisle is off in one of the two settings.
		do(t, p, "look")
		return p
	}
	risky := func(p *lab.Practice) bool {
		do(t, p, "energize", "flip loft/aisle")
		return slices.Contains(kinds(p.Dangers()), "may be a bolted fault")
	}
	if !risky(start()) {
		t.Error("a flip that could be a bolted fault is none")
	}
	p := start()
	if out := do(t, p, "prove-dead loft", "continuity loft/C7/black loft/C7/white"); out.Path == trace.Joined {
		t.Fatal("a sound leg is joined to the neutral")
	}
	if risky(p) {
		t.Error("a flip is risky after a dead test has ruled out what made it so")
	}
}

// TestHotFrame energizes a switch whose metal has lost its ground and touches the hot.
func TestHotFrame(t *testing.T) {
	t.Parallel()
	ground := wiring.Joint{Device: "aisle", Terminal: "ground"}
	p := practice(t, lab.PracticeOptions{Dead: true},
		wiring.SplitSplice{Box: "yard-door", Out: []wiring.Joint{ground}},
		wiring.TieJoints{Box: "yard-door", A: wiring.WireJoint("C3", "black"), B: ground})
	do(t, p, "energize")
	if got := kinds(p.Dangers()); !slices.Equal(got, []string{"metal made live"}) {
		t.Errorf("dangers %q", got)
	}
}

// TestMoves reads moves from their lines and writes them again.
func TestMoves(t *testing.T) {
	t.Parallel()
	tests := []struct{ line, want, why string }{
		{"look", "", "a verb alone"},
		{"  flip   loft/aisle ", "flip loft/aisle", "blanks do not matter"},
		{`read panel/"shed lights"/hot panel/"shed lights"/neutral`, "", "names with blanks"},
		{`flip "loft"/"aisle"`, "flip loft/aisle", "quotation marks where none are needed"},
		{`lift loft/C4/"white/red"`, "", "a stroke in a name"},
		{"undo", "", "no point"},
		{"", "the line is empty", "nothing"},
		{"jump loft", "is no verb", "an unknown verb"},
		{"flip loft", "write flip BOX/SWITCH", "a switch without its name"},
		{"look loft", "write look", "too much"},
		{"read loft/C5/red", "write read", "too little"},
		{`flip "loft`, "not closed", "an open quotation mark"},
		{"flip loft//aisle", "a name is missing", "an empty name"},
	}
	for _, tt := range tests {
		m, err := lab.ParseMove(tt.line)
		if err != nil {
			if tt.want == "" || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("%q: %v, want %q: %s", tt.line, err, tt.want, tt.why)
			}
			continue
		}
		want := tt.want
		if want == "" {
			want = tt.line
		}
		if m.String() != want {
			t.Errorf("%q is written %q, want %q: %s", tt.line, m.String(), want, tt.why)
		}
	}
}

// FuzzParseMove holds what can be read to what is written of it.
func FuzzParseMove(f *testing.F) {
	for _, v := range lab.Verbs() {
		f.Add(v.Use())
	}
	f.Add(`read panel/"shed lights"/hot loft/C4/"white/red"`)
	f.Add("flip \"\\x00\"/\u202e")
	f.Fuzz(func(t *testing.T, line string) {
		m, err := lab.ParseMove(line)
		if err != nil {
			return
		}
		again, err := lab.ParseMove(m.String())
		if err != nil || again != m {
			t.Errorf("%q is read as %q and that as %q: %v", line, m, again, err)
		}
	})
}

// TestPracticeMachine makes any sequence of moves on the shed, and after each compares
// with a model that is worked out from the log alone.
func TestPracticeMachine(t *testing.T) {
	t.Parallel()
	j, err := shedJob()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(r *rapid.T) {
		opt := lab.PracticeOptions{Table: &j.Region.Conductor, Dead: rapid.Bool().Draw(r, "dead")}
		p, err := lab.NewPractice(j.Wiring, opt)
		if err != nil {
			r.Fatal(err)
		}
		twin, err := lab.NewPractice(j.Wiring, opt)
		if err != nil {
			r.Fatal(err)
		}
		points, switches, boxes := p.Points(), p.Switches(), p.Boxes()
		point := rapid.SampledFrom(points)
		effort := time.Duration(0)
		locked := opt.Dead
		var everTripped bool
		for range rapid.IntRange(1, 25).Draw(r, "moves") {
			verb := rapid.SampledFrom(lab.Verbs()).Draw(r, "verb")
			m := lab.Move{Verb: verb}
			switch verb {
			case lab.Flip:
				m.Switch = rapid.SampledFrom(switches).Draw(r, "switch")
			case lab.ProveDead:
				m.Box = rapid.SampledFrom(boxes).Draw(r, "box")
			case lab.ProvePoint, lab.LiftEnd, lab.CapEnd:
				m.Points[0] = point.Draw(r, "point")
			case lab.Read, lab.Continuity, lab.LandEnd, lab.SpliceEnd:
				m.Points = [2]switchnet.Terminal{point.Draw(r, "red"), point.Draw(r, "black")}
			}
			before := len(p.Log())
			was := p.Handles()
			out, err := p.Do(m)
			same, errTwin := twin.Do(m)
			if !reflect.DeepEqual(out, same) || fmt.Sprint(err) != fmt.Sprint(errTwin) {
				r.Fatalf("%s comes out otherwise the second time", m)
			}
			if err != nil {
				if len(p.Log()) != before || p.Effort() != effort || !slices.Equal(p.Handles(), was) {
					r.Fatalf("%s cannot be made, and something has happened: %v", m, err)
				}
				continue
			}
			effort += out.Effort
			switch verb {
			case lab.LockOut:
				locked = true
			case lab.Energize:
				locked = false
			}
			tripped := everTripped // before this move
			everTripped = everTripped || out.Tripped
			turned := 0
			for i, h := range p.Handles() {
				if h != was[i] {
					turned++
				}
			}
			dangers := 0
			for _, x := range p.Log() {
				dangers += len(x.Dangers)
			}
			has := func(k lab.DangerKind) bool {
				return slices.ContainsFunc(out.Dangers, func(d lab.Danger) bool { return d.Kind == k })
			}
			switch {
			case len(p.Log()) != before+1:
				r.Fatalf("%s is not in the log", m)
			case p.Effort() != effort || out.Effort <= 0:
				r.Fatalf("%s: effort %v, want %v", m, p.Effort(), effort)
			case p.Locked() != locked:
				r.Fatalf("%s: locked out is %v", m, p.Locked())
			case turned != 0 && verb != lab.Flip || turned != 1 && verb == lab.Flip:
				r.Fatalf("%s: %d handles turn", m, turned)
			case dangers != len(p.Dangers()):
				r.Fatalf("%s: %d dangers in the log and %d in all", m, dangers, len(p.Dangers()))
			case out.Tripped && !has(lab.Trip):
				r.Fatalf("%s: it trips and that is no danger", m)
			case locked && (out.Tripped || out.Lights != nil):
				r.Fatalf("%s: something happens on a circuit that is locked out", m)
			case tripped && (verb == lab.Energize || verb == lab.Reset) && !has(lab.AfterTrip):
				r.Fatalf("%s after a trip is no danger", m)
			case !locked && (verb == lab.LiftEnd || verb == lab.CapEnd || verb == lab.LandEnd || verb == lab.SpliceEnd || verb == lab.Undo) && !has(lab.WorkLive):
				r.Fatalf("%s on an energized circuit is no danger", m)
			case out.Says == "":
				r.Fatalf("%s: nothing is said", m)
			case locked && out.Reading != nil && out.Reading.Shows != 0:
				r.Fatalf("%s: %s with everything locked out", m, out.Reading.Shows)
			case verb == lab.Continuity && locked != (out.Path != 0):
				r.Fatalf("%s: the ohmmeter finds %v", m, out.Path)
			}
			if again, err := lab.ParseMove(m.String()); err != nil || again != m {
				r.Fatalf("%s is read as %s: %v", m, again, err)
			}
		}
	})
}
