package switchnet_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet"
)

// TestWords pins the words of the enumerations, which files and programs hold, and
// wants no word for any other value, and every word read back as what it stands for.
func TestWords(t *testing.T) {
	tests := []struct {
		what  string
		at    func(i uint8) enum
		words []string
		read  func(text string) (enum, error)
	}{
		{"Rail", func(i uint8) enum { return switchnet.Rail(i) }, []string{"line A", "line B", "line C", "neutral", "ground"}, read[switchnet.Rail]},
		{"ConditionKind", func(i uint8) enum { return switchnet.ConditionKind(i) },
			[]string{"isolated", "live", "neutral", "grounded", "live through a load", "shorted"}, read[switchnet.ConditionKind]},
		{"LoadStatus", func(i uint8) enum { return switchnet.LoadStatus(i) }, []string{"unlit", "lit", "dim", "faulted"}, read[switchnet.LoadStatus]},
		{"StepKind", func(i uint8) enum { return switchnet.StepKind(i) }, []string{"conductor", "splice", "contact", "load"}, read[switchnet.StepKind]},
		{"Code", func(i uint8) enum { return switchnet.Code(i) }, []string{"unnamed", "duplicate", "unknown", "bad-kind", "bad-source",
			"bad-conductor", "bad-splice", "bad-load", "too-large", "foreign-state", "missing-source"}, read[switchnet.Code]},
		{"Transit", func(i uint8) enum { return switchnet.Transit(i) }, []string{"break before make", "make before break"}, read[switchnet.Transit]},
		{"Order", func(i uint8) enum { return switchnet.Order(i) }, []string{"counting", "gray"}, read[switchnet.Order]},
	}
	for _, test := range tests {
		for i := range uint8(255) {
			text, err := test.at(i).MarshalText()
			if i >= 1 && int(i) <= len(test.words) {
				if want := test.words[i-1]; err != nil || string(text) != want || test.at(i).String() != want {
					t.Errorf("%s(%d) is %q, %q, %v; want %q", test.what, i, text, test.at(i), err, want)
				}
				if back, err := test.read(test.words[i-1]); err != nil || back != test.at(i) {
					t.Errorf("%q is read as %s %v, %v", text, test.what, back, err)
				}
				continue
			}
			if want := fmt.Sprintf("%s(%d)", test.what, i); err == nil || test.at(i).String() != want {
				t.Errorf("%s(%d) is %q, %q; want an error and %q", test.what, i, text, test.at(i), want)
			}
		}
	}
	for _, test := range tests {
		for _, wrong := range []string{"", "Lit", " lit", test.what + "(0)"} {
			if v, err := test.read(wrong); err == nil || v.String() != test.at(0).String() {
				t.Errorf("%q is read as %s %v, %v", wrong, test.what, v, err)
			}
		}
	}
}

type enum interface {
	fmt.Stringer
	MarshalText() ([]byte, error)
}

// read reads a word into a zero value.
func read[E enum, P interface {
	*E
	UnmarshalText([]byte) error
}](text string) (enum, error) {
	var v E
	err := P(&v).UnmarshalText([]byte(text))
	return v, err
}

func TestRailText(t *testing.T) {
	for r := range switchnet.Rails() {
		text, err := r.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back switchnet.Rail
		if err := back.UnmarshalText(text); err != nil || back != r {
			t.Errorf("%v is read back as %v, %v", r, back, err)
		}
		if r.Line() != (r <= switchnet.LineC) {
			t.Errorf("%v: Line is %v", r, r.Line())
		}
	}
	for _, wrong := range []string{"", "Line A", "line D", "neutral ", "Rail(0)"} {
		r := switchnet.Ground
		if err := r.UnmarshalText([]byte(wrong)); err == nil || r != switchnet.Ground {
			t.Errorf("%q is read as %v", wrong, r)
		}
	}
	for range switchnet.Rails() {
		break // an iterator may be stopped
	}
	for _, none := range []switchnet.Rail{0, switchnet.Ground + 1, 255} {
		if s := switchnet.RailsOf(none).With(none); !s.Empty() || s.Has(none) {
			t.Errorf("%v, which is no rail, is in a set", none)
		}
	}
}

func TestRailSetLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rails := rapid.SliceOfDistinct(rapid.SampledFrom(slices.Collect(switchnet.Rails())), rapid.ID[switchnet.Rail]).Draw(t, "rails")
		s := switchnet.RailsOf(rails...)
		slices.Sort(rails)
		if got := slices.Collect(s.All()); !slices.Equal(got, rails) {
			t.Errorf("%v holds %v", rails, got)
		}
		potentials := map[bool]bool{}
		lines := 0
		for r := range switchnet.Rails() {
			if s.Has(r) != slices.Contains(rails, r) {
				t.Errorf("%v has %v: %v", rails, r, s.Has(r))
			}
			if s.Has(r) {
				potentials[r.Line()] = true
				if r.Line() {
					lines++
				}
			}
		}
		if s.Conflict() != (lines > 1 || len(potentials) > 1) {
			t.Errorf("%v conflicts: %v", s, s.Conflict())
		}
		if s.Empty() != (len(rails) == 0) || s.Lines().Empty() != (lines == 0) || s.Has(0) {
			t.Errorf("%v: empty %v, lines %v, has none %v", s, s.Empty(), s.Lines(), s.Has(0))
		}
		data, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		back := switchnet.RailsOf(switchnet.LineC)
		if err := json.Unmarshal(data, &back); err != nil || back != s {
			t.Errorf("%s is read back as %v, %v", data, back, err)
		}
	})
	var s switchnet.RailSet
	if err := s.UnmarshalText([]byte("line A,line Z")); err == nil {
		t.Error("a set with line Z is read")
	}
	if got := switchnet.RailsOf().String() + "; " + switchnet.RailsOf(switchnet.Ground, switchnet.LineB).String(); got != "no rail; line B and ground" {
		t.Errorf("sets read %q", got)
	}
}

// TestConditionWords pins what a condition is called, and which are a hazard to
// touch.
func TestConditionWords(t *testing.T) {
	set := switchnet.RailsOf
	tests := []struct {
		why    string
		c      switchnet.Condition
		kind   switchnet.ConditionKind
		hazard bool
		text   string
	}{
		{"nothing", switchnet.Condition{}, switchnet.Isolated, false, "isolated"},
		{"a leg with the lamp's other end on the neutral", switchnet.Condition{Through: set(switchnet.Neutral)}, switchnet.Isolated, false, "isolated but for a load to neutral"},
		{"joined to a line", switchnet.Condition{Rails: set(switchnet.LineB)}, switchnet.Live, true, "live on line B"},
		{"a switched neutral: the lamp hands the line on", switchnet.Condition{Through: set(switchnet.LineA)}, switchnet.LiveThroughLoad, true, "live through a load from line A"},
		{"between two lamps in series", switchnet.Condition{Through: set(switchnet.LineA, switchnet.Neutral)}, switchnet.LiveThroughLoad, true, "live through a load from line A"},
		{"the neutral", switchnet.Condition{Rails: set(switchnet.Neutral)}, switchnet.OnNeutral, false, "neutral"},
		{"the ground", switchnet.Condition{Rails: set(switchnet.Ground)}, switchnet.OnGround, false, "grounded"},
		{"both: the neutral's word, and the text says it", switchnet.Condition{Rails: set(switchnet.Ground, switchnet.Neutral)}, switchnet.OnNeutral, false, "neutral and ground together"},
		{"line on neutral", switchnet.Condition{Rails: set(switchnet.LineA, switchnet.Neutral)}, switchnet.Shorted, true, "shorted: line A and neutral together"},
		{"line on line", switchnet.Condition{Rails: set(switchnet.LineA, switchnet.LineB)}, switchnet.Shorted, true, "shorted: line A and line B together"},
	}
	for _, test := range tests {
		if test.c.Kind() != test.kind || test.c.Hazardous() != test.hazard || test.c.String() != test.text {
			t.Errorf("%s: %v, hazard %v, %q; want %v, %v, %q", test.why, test.c.Kind(), test.c.Hazardous(), test.c, test.kind, test.hazard, test.text)
		}
	}
}

// TestNames pins how places are read.
func TestNames(t *testing.T) {
	tests := []struct{ got, want string }{
		{term("loft", "stair", "common").String(), "stair common at loft"},
		{term("loft", "", "screw").String(), "screw at loft"},
		{term("", "service", "ground").String(), "service ground"},
		{term("loft", "", "").String(), "loft"},
		{ref("loft", "stair").String(), "stair at loft"},
		{ref("", "service").String(), "service"},
		{ref("loft", "").String(), "loft"},
		{switchnet.Path{}.From().String() + switchnet.Path{}.To().String(), ""},
		{fmt.Sprint(switchnet.Device{Ref: ref("loft", "stair"), Kind: switchnet.ThreeWay()}), "stair at loft, three-way"},
		{fmt.Sprint(switchnet.Load{Ref: ref("loft", "lamp")}), "lamp at loft, between hot and neutral"},
		{fmt.Sprint(switchnet.Load{Ref: ref("loft", "lamp"), On: "outlet", Ends: [2]string{"hot 1", "neutral 1"}}),
			"lamp at loft, between hot 1 and neutral 1 of outlet"},
		{fmt.Sprint(switchnet.Splice{Ref: ref("loft", "hot"), Joins: []switchnet.Terminal{term("loft", "C1", "black"), term("loft", "stair", "common")}}),
			"hot at loft, joining C1 black at loft and stair common at loft"},
	}
	for _, test := range tests {
		if test.got != test.want {
			t.Errorf("%q, want %q", test.got, test.want)
		}
	}
	owner := ref("loft", "stair")
	if owner.Terminal("common").Owner() != owner {
		t.Error("a terminal's owner is not whose terminal it is")
	}
	sys := switchnet.Wye120()
	if sys.Between(switchnet.LineA, switchnet.LineC) != sys.LineToLine || sys.Between(switchnet.Ground, switchnet.LineC) != sys.LineToNeutral ||
		sys.Between(switchnet.Ground, switchnet.Neutral) != 0 || sys.Between(switchnet.LineB, switchnet.LineB) != 0 {
		t.Error("the voltages between rails are not those of the system")
	}
}
