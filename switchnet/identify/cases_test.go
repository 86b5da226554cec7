package identify_test

import (
	"errors"
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// has returns whether a role is in a box.
func has(t testing.TB, s *identify.Session, box string, fn identify.Function, of string) identify.Surety {
	t.Helper()
	in, err := s.In(box)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range in.Has {
		if p.Role == (identify.Role{Function: fn, Of: of}) {
			return p.Is
		}
	}
	t.Fatalf("box %s says nothing of %v", box, fn)
	return 0
}

// likely returns how likely a function is on an end.
func likely(t testing.TB, s *identify.Session, box, w string, fn identify.Function) quantity.Ratio {
	t.Helper()
	in, err := s.In(box)
	if err != nil {
		t.Fatal(err)
	}
	sum := quantity.Ratio(0)
	for _, u := range in.Ends {
		if u.End != end(box, w) {
			continue
		}
		for _, r := range u.Roles {
			if r.Role.Function == fn {
				sum += r.Likely
			}
		}
	}
	return sum
}

// deadEnd is a stair with one cable below, its white on the common, and three above, as
// somebody found it.
func deadEnd(t testing.TB) *wiring.Spec {
	s := cottage(t, "lower", "upper")
	enter(t, s, "A1", "14/3", "lower", "")
	enter(t, s, "B1", "14/3", "upper", "")
	enter(t, s, "B2", "14/2", "upper", "")
	enter(t, s, "B3", "14/2", "upper", "")
	land(s, "lower", "stair", "common", "A1.white")
	land(s, "lower", "stair", "traveler 1", "A1.black")
	land(s, "lower", "stair", "traveler 2", "A1.red")
	land(s, "upper", "stair", "common", "B2.black")
	land(s, "upper", "stair", "traveler 1", "B1.black")
	land(s, "upper", "stair", "traveler 2", "B1.red")
	splice(s, "upper", "B1.white", "B3.black")
	splice(s, "upper", "B2.white", "B3.white")
	return s
}

// TestWhiteOnCommon: "the white below is on the dark screw; is that normal?" Yes: what
// goes into which sheath, and one reading of a constant hot below, settle every role.
// There is no neutral below for a control that needs one; above there is everything.
func TestWhiteOnCommon(t *testing.T) {
	s := newCase(t, deadEnd(t), nil).Session()
	for _, b := range []string{"lower", "upper"} {
		if err := s.Recall(identify.Obeys{Control: "stair", Box: b, Does: true}, 0); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Recall(identify.SameCable{A: "A1", B: "B1", Same: true}, 0); err != nil {
		t.Fatal(err)
	}
	if got := likely(t, s, "lower", "A1.white", identify.ConstantHot); got < 80*quantity.Percent {
		t.Errorf("before any reading the white below is a constant hot at %v", got)
	}
	for _, b := range []string{"lower", "upper"} {
		if b == "lower" {
			do(t, s, identify.LockOut, "")
		}
		do(t, s, identify.ProveDead, b)
		do(t, s, identify.TakeOff, b)
	}
	do(t, s, identify.Energize, "")
	r := identify.Reading{Red: end("lower", "A1.white").Wire.In("lower"), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 121 * quantity.Volt}
	var broken *trace.Broken
	if err := s.Observe(r); !errors.As(err, &broken) || broken.Rule != trace.ProvenReference {
		t.Errorf("a reading over a reference that nobody proved: %v", err)
	}
	if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
		t.Fatal(err)
	}
	if err := s.Observe(r); err != nil {
		t.Fatal(err)
	}
	v := s.Verdict(0)
	if got := v.Fits[0].Likely; got < 95*quantity.Percent {
		t.Errorf("the likeliest class has %v", got)
	}
	want := []identify.Function{identify.Traveler, identify.ConstantHot, identify.Traveler, identify.Traveler, identify.ConstantHot, identify.Traveler, identify.SwitchLeg, identify.Neutral, identify.ConstantHot, identify.Neutral}
	for i, u := range v.Fits[0].Ends {
		if got := u.Roles[0].Role.Function; got != want[i] || len(u.Roles) != 1 {
			t.Errorf("%v, want %v", u, want[i])
		}
	}
	if got := has(t, s, "lower", identify.Neutral, "stair"); got == identify.Surely {
		t.Errorf("a neutral is %v below", got)
	}
	for _, fn := range []identify.Function{identify.ConstantHot, identify.Neutral, identify.Traveler} {
		if got := has(t, s, "upper", fn, "stair"); got != identify.Surely {
			t.Errorf("a %v is %v above", fn, got)
		}
	}
	// That the chain lies in the neutral of the light is all that speaks against a leg.
	if got := likely(t, s, "upper", "B2.black", identify.SwitchLeg); got < 99*quantity.Percent {
		t.Errorf("the black of the light's cable is its leg at %v", got)
	}
	below, _ := s.In("lower")
	above, _ := s.In("upper")
	if below.Controls[0].Is == identify.Surely || above.Controls[0].Is != identify.Surely {
		t.Errorf("power for an electronic control: below %v, above %v", below.Controls, above.Controls)
	}
}

// TestTwoBlacksAndRed: "two blacks and a red on the device; which black is the common?"
// The one whose sheath is the two-wire; the other is a traveler with its red. Where both
// cables are three-wire that no longer holds, and the program does not say it.
func TestTwoBlacksAndRed(t *testing.T) {
	ask := func(second string) *identify.Session {
		s := cottage(t, "hall", "landing")
		partner := ""
		if second == "14/2" {
			partner = "landing" // the sheath of the three-wire was seen to go there
		}
		enter(t, s, "K1", "14/3", "hall", partner)
		enter(t, s, "K2", second, "hall", "")
		return newCase(t, s, &identify.Options{Open: []string{"hall"}}).Session()
	}
	s := ask("14/2")
	if got := likely(t, s, "hall", "K2.black", identify.Traveler); got > 5*quantity.Percent {
		t.Errorf("the black of the two-wire is a traveler at %v", got)
	}
	if got := likely(t, s, "hall", "K1.red", identify.Traveler); got < 70*quantity.Percent {
		t.Errorf("the red of the three-wire is a traveler at %v", got)
	}
	if got := likely(t, s, "hall", "K1.black", identify.Traveler); got < 50*quantity.Percent {
		t.Errorf("the black of the three-wire is a traveler at %v", got)
	}
	// The advice that a switch has two commons for the blacks: landed so, and obeying
	// from both places, is nothing that any scheme gives.
	advised := identify.InBox{Box: "hall", Screws: []identify.Screw{
		{Device: "stair", Terminal: "traveler 1", Wire: wire("K1.black")},
		{Device: "stair", Terminal: "traveler 2", Wire: wire("K2.black")},
		{Device: "stair", Terminal: "common", Wire: wire("K1.red")}}, Spliced: [][]wiring.Wire{{wire("K1.white"), wire("K2.white")}}}
	for _, b := range []string{"hall", "landing"} {
		if err := s.Recall(identify.Obeys{Control: "stair", Box: b, Does: true}, 0); err != nil {
			t.Fatal(err)
		}
	}
	right := advised
	right.Screws = slices.Clone(advised.Screws)
	right.Screws[1].Wire, right.Screws[2].Wire = wire("K1.red"), wire("K2.black")
	if err := s.Recall(right, 0); err != nil {
		t.Fatal(err)
	}
	if v := s.Verdict(0); v.Status == trace.Contradiction {
		t.Errorf("landed right: %v", v.Status)
	}
	s.Undo()
	if err := s.Recall(advised, 0); err != nil {
		t.Fatal(err)
	}
	v := s.Verdict(0)
	if v.Status != trace.Contradiction || !slices.Contains(v.Fits[0].Against, 2) {
		t.Errorf("landed as advised: %v with %d possibilities, against %v", v.Status, v.Possibilities, v.Fits[0].Against)
	}
	s = ask("14/3")
	if got := likely(t, s, "hall", "K2.black", identify.Traveler); got == 0 {
		t.Error("with two three-wires the black of the second is never a traveler")
	}
}

// TestOrphan: "the switch in the hall is a three-way with a three-wire cable, and its
// partner is gone; can I tap an outlet?" Not on what is known: a neutral is possible
// there, and not sure.
func TestOrphan(t *testing.T) {
	s := cottage(t, "hall", "hall-end")
	enter(t, s, "K1", "14/3", "hall", "ceiling")
	c := newCase(t, s, &identify.Options{Open: []string{"hall"}, FeedAt: map[string][]string{"stair": {"ceiling"}}})
	x := c.Session()
	for b, does := range map[string]bool{"hall": true, "hall-end": false} {
		if err := x.Recall(identify.Obeys{Control: "stair", Box: b, Does: does}, 0); err != nil {
			t.Fatal(err)
		}
	}
	in, err := x.In("hall")
	if err != nil {
		t.Fatal(err)
	}
	if got := has(t, x, "hall", identify.Neutral, "stair"); got != identify.Possibly {
		t.Errorf("a neutral is %v in the hall", got)
	}
	if got := in.Controls[0].Is; got != identify.Possibly {
		t.Errorf("power for something in the hall is %v there", got)
	}
	if v := x.Verdict(1); v.Fits[0].Plans[0].Scheme != identify.OnePlace {
		t.Errorf("the likeliest is %v", v.Fits[0].Plans)
	}
}

// TestJoinThree: "join the three at the box with the hot and see which come alive at the
// other". While one of the three may be a neutral it is a bolted fault and refused, with
// the possibility named; once the whites are seen spliced in both boxes it is not, and
// tells travelers from leg.
func TestJoinThree(t *testing.T) {
	spec := cottage(t, "a", "b")
	enter(t, spec, "F", "14/2", "a", "")
	enter(t, spec, "S", "14/3", "a", "")
	enter(t, spec, "T", "14/3", "b", "")
	enter(t, spec, "L", "14/2", "b", "")
	s := newCase(t, spec, &identify.Options{Released: []string{"a", "b"}, Unusual: 1}).Session()
	if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
		t.Fatal(err)
	}
	ring := identify.Reading{Red: end("b", "L.black").Wire.In("b"), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 0,
		Tied: [][2]wiring.End{{end("a", "F.black"), end("a", "S.black")}, {end("a", "F.black"), end("a", "S.red")}}}
	var bolted *identify.Bolted
	if err := s.Refuses(ring); !errors.As(err, &bolted) || len(bolted.Plans) == 0 {
		t.Fatalf("joined while a neutral may be among them: %v", err)
	}
	var broken *trace.Broken
	if err := s.Observe(ring); !errors.As(err, &broken) || broken.Rule != trace.BoltedFault {
		t.Errorf("took it: %v", err)
	}
	for box, pair := range map[string][2]string{"a": {"F.white", "S.white"}, "b": {"T.white", "L.white"}} {
		o := identify.InBox{Box: box, Spliced: [][]wiring.Wire{{wire(pair[0]), wire(pair[1])}}}
		if err := s.Recall(o, 0); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Recall(identify.SameCable{A: "S", B: "T", Same: true}, 0); err != nil {
		t.Fatal(err)
	}
	hot := identify.Reading{Red: end("a", "F.black").Wire.In("a"), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 120 * quantity.Volt}
	if err := s.Observe(hot); err != nil {
		t.Fatal(err)
	}
	if err := s.Refuses(ring); err != nil {
		t.Fatalf("joined once the hot is known and the whites are seen spliced: %v", err)
	}
	if err := s.Observe(ring); err != nil {
		t.Fatal(err)
	}
	takeable(t, s, 1, map[identify.TestKind]int{})
	for w, want := range map[string]identify.Function{"L.black": identify.SwitchLeg, "T.black": identify.Traveler, "T.red": identify.Traveler} {
		if got := likely(t, s, "b", w, want); got < 90*quantity.Percent {
			t.Errorf("%s is a %v at %v", w, want, got)
		}
	}
}

// TestLooking: what a look into one box tells and what it does not, row by row of a
// table that somebody published.
func TestLooking(t *testing.T) {
	sees := func(cable string, more []string, boxes []string, o identify.InBox) *identify.Session {
		s := cottage(t, boxes...)
		if len(boxes) == 1 {
			s.Devices[0].Kind = singlePole()
		}
		enter(t, s, "K1", cable, "hall", "")
		for i, m := range more {
			enter(t, s, []string{"K2", "K3"}[i], m, "hall", "")
		}
		x := newCase(t, s, &identify.Options{Open: []string{"hall"}, Unusual: -1}).Session()
		if err := x.Recall(o, 0); err != nil {
			t.Fatal(err)
		}
		if v := x.Verdict(0); v.Status == trace.Contradiction {
			t.Fatalf("nothing gives %v", o)
		}
		return x
	}
	at := func(s *identify.Session) (feedAtLight, feedHere bool) {
		for _, f := range s.Verdict(1000).Fits {
			feedAtLight = feedAtLight || f.Plans[0].FeedAt == "ceiling"
			feedHere = feedHere || f.Plans[0].FeedAt == ""
		}
		return feedAtLight, feedHere
	}
	screw := func(terminal, w string) identify.Screw {
		return identify.Screw{Device: "stair", Terminal: terminal, Wire: wire(w)}
	}
	one := []string{"hall"}
	rows := []struct {
		name             string
		s                *identify.Session
		atLight, here    bool
		neutral, sureHot identify.Surety
	}{
		{"both wires of the one cable on the switch: a loop", sees("14/2", nil, one, identify.InBox{Box: "hall", Screws: []identify.Screw{screw("line", "K1.white"), screw("load", "K1.black")}}),
			true, false, identify.Never, identify.Surely},
		{"one three-wire, its white capped: a loop, perhaps with a neutral", sees("14/3", nil, one, identify.InBox{Box: "hall", Capped: []wiring.Wire{wire("K1.white")}, Screws: []identify.Screw{screw("line", "K1.black"), screw("load", "K1.red")}}),
			true, false, identify.Possibly, identify.Surely},
		{"two cables, whites spliced: the feed is here", sees("14/2", []string{"14/2"}, one, identify.InBox{Box: "hall", Spliced: [][]wiring.Wire{{wire("K1.white"), wire("K2.white")}}, Screws: []identify.Screw{screw("line", "K1.black"), screw("load", "K2.black")}}),
			false, true, identify.Surely, identify.Surely},
	}
	for _, r := range rows {
		light, here := at(r.s)
		if light != r.atLight || here != r.here {
			t.Errorf("%s: the feed may come in at the light (%v) and here (%v)", r.name, light, here)
		}
		if got := has(t, r.s, "hall", identify.Neutral, "stair"); got != r.neutral {
			t.Errorf("%s: a neutral is %v", r.name, got)
		}
		if got := has(t, r.s, "hall", identify.ConstantHot, "stair"); got != r.sureHot {
			t.Errorf("%s: a constant hot is %v", r.name, got)
		}
	}
	// A dead end with all three on a three-way looks the same wherever the feed comes in:
	// whether a hot or a leg is on the common takes the other box.
	dead := sees("14/3", nil, []string{"hall", "landing"}, identify.InBox{Box: "hall", Screws: []identify.Screw{screw("common", "K1.white"), screw("traveler 1", "K1.black"), screw("traveler 2", "K1.red")}})
	if got := has(t, dead, "hall", identify.ConstantHot, "stair"); got != identify.Possibly {
		t.Errorf("a constant hot is %v in a dead end that nobody traced", got)
	}
	if got := has(t, dead, "hall", identify.SwitchLeg, "stair"); got != identify.Possibly {
		t.Errorf("a leg is %v in a dead end that nobody traced", got)
	}
}

// TestTwoBreakers: "240 V between the two line wires in my two-gang box": two feeds on
// two lines, each switch on its own, and neutrals that the program keeps apart.
func TestTwoBreakers(t *testing.T) {
	i := slices.IndexFunc(rows, func(r row) bool { return r.name == "two circuits in one box" })
	d := read(t, rows[i])
	q := d.question()
	opt := rows[i].opt
	opt.Released = []string{"s1"}
	s := newCase(t, &q, &opt).Session()
	if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
		t.Fatal(err)
	}
	err := s.Observe(identify.Reading{Red: end("s1", "F-to.black").Wire.In("s1"), Black: end("s1", "G-to.black").Wire.In("s1"), Meter: steady.LowImpedance, Shows: 240 * quantity.Volt})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []string{"F-to.black", "G-to.black"} {
		if got := likely(t, s, "s1", w, identify.ConstantHot); got < 99*quantity.Percent {
			t.Errorf("%s is a constant hot at %v", w, got)
		}
	}
	for _, f := range s.Verdict(1000).Fits {
		a, b := f.Ends[0].Roles, f.Ends[2].Roles // F-to.black, G-to.black
		if f.Ends[2].End != end("s1", "G-to.black") {
			t.Fatalf("%v", f.Ends)
		}
		if len(a) == 1 && len(b) == 1 && a[0].Role == b[0].Role {
			t.Errorf("both are the %v", a[0].Role)
		}
	}
}
