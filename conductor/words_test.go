package conductor

import (
	"encoding/json"
	"testing"
)

// Every word of every closed set survives its text, and no other text is taken.
func TestWordsRoundTrip(t *testing.T) {
	for _, v := range []*vocabulary{&materials, &strandings, &raceways, &constructions, &hues, &confidences, &overcurrentKinds, &forces,
		&groundingBases, &groundingBaselines, &protectionKinds, &outletKinds, &demands, &dropMethods, &ruleWords, &statuses} {
		for n := uint8(1); int(n) <= len(v.words); n++ {
			text, err := v.marshal(n)
			if err != nil {
				t.Errorf("%s %d: %v", v.kind, n, err)
			}
			if back, err := v.parse(string(text)); err != nil || back != n {
				t.Errorf("%s %q reads as %d, %v", v.kind, text, back, err)
			}
		}
		if _, err := v.parse("nonsense"); err == nil {
			t.Errorf("%s: nonsense is a word", v.kind)
		}
		for _, n := range []uint8{0, uint8(len(v.words)) + 1} {
			if _, err := v.marshal(n); err == nil || v.valid(n) || v.word(n) == "" {
				t.Errorf("%s: %d is taken for a value", v.kind, n)
			}
		}
	}
	var m Material
	if err := json.Unmarshal([]byte(`"aluminium"`), &m); err != nil || m != Aluminum {
		t.Errorf("aluminium reads as %v, %v", m, err)
	}
	if err := json.Unmarshal([]byte(`"tin"`), &m); err == nil || m != Aluminum {
		t.Errorf("tin reads as %v, %v", m, err)
	}
}

// roundTrip sends a value through its text.
func roundTrip[T comparable](t *testing.T, v T) {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Errorf("%v: %v", v, err)
		return
	}
	var back T
	if err := json.Unmarshal(text, &back); err != nil || back != v {
		t.Errorf("%s comes back as %v, %v", text, back, err)
	}
	before := back
	if err := json.Unmarshal([]byte(`"nonsense"`), &back); err == nil || back != before {
		t.Errorf("%T: nonsense is taken for %v", v, back)
	}
	var zero T
	if text, err := json.Marshal(zero); err == nil {
		t.Errorf("%T: unset goes out as %s", v, text)
	}
}

func TestTypesRoundTrip(t *testing.T) {
	roundTrip(t, CopperCladAluminum)
	roundTrip(t, Stranded)
	roundTrip(t, SteelRaceway)
	roundTrip(t, FlatTwinAndEarth)
	roundTrip(t, LowConfidence)
	roundTrip(t, FuseOnly)
	roundTrip(t, Binding)
	roundTrip(t, ByAmpacity)
	roundTrip(t, AfterCorrection)
	roundTrip(t, ResidualCurrent)
	roundTrip(t, Unverified)
	roundTrip(t, ByRate)
	roundTrip(t, RuleAsked)
	roundTrip(t, Unlawful)
	roundTrip(t, Colour{White, Red})
	roundTrip(t, AWG(-3))
}
