package identify_test

import (
	"encoding/json"
	"testing"

	"example.com/switchleg/switchnet/identify"
)

// FuzzResume: whatever a log says, it is read and taken, or refused with an error; what
// was taken is read back as it was, and leaves a session that can be asked everything.
func FuzzResume(f *testing.F) {
	for _, s := range []string{
		`[]`,
		`[{"action":{"Do":"lock out","Box":""}},{"action":{"Do":"prove dead","Box":"lower"}},{"action":{"Do":"take apart","Box":"lower"}}]`,
		`[{"observed":"same cable","as":{"A":"A1","B":"B1","Same":true},"confidence":"90 %"}]`,
		`[{"observed":"goes to","as":{"Cable":"B2","Box":"ceiling","Does":true},"earlier":true}]`,
		`[{"observed":"obeys","as":{"Control":"stair","Box":"lower","Does":false}}]`,
		`[{"observed":"in box","as":{"Box":"lower","Screws":[{"Device":"stair","Terminal":"common","Wire":{"Cable":"A1","Conductor":"white"}}]},"earlier":true}]`,
		`[{"observed":"reference","as":{"Point":{"Place":"","Device":"reference","Name":"ground"},"Shown":true}},{"observed":"reading","as":{"Red":{"Place":"lower","Device":"A1","Name":"white"},"Black":{"Place":"","Device":"reference","Name":"ground"},"Meter":"low-impedance","Shows":"120 V","Tolerance":"0 V","Off":null,"Tied":null}}]`,
		`[{"observed":"tripped","as":{}},{"action":{"Do":"energize","Box":""}}]`,
		`[{"action":{"Do":"find brittle insulation","Box":"upper"}}]`,
	} {
		f.Add([]byte(s))
	}
	spec := deadEnd(f)
	c := newCase(f, spec, &identify.Options{Unusual: 1, Disturbed: []string{"lower"}})
	f.Fuzz(func(t *testing.T, data []byte) {
		var log []identify.Entry
		if json.Unmarshal(data, &log) != nil || len(log) > 20 {
			return
		}
		s, err := c.Resume(log)
		if err != nil {
			return
		}
		text, err := json.Marshal(s.Log())
		if err != nil {
			t.Fatal(err)
		}
		var back []identify.Entry
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if _, err := c.Resume(back); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		v := s.Verdict(3)
		if v.Possibilities == 0 || len(v.Fits) == 0 {
			t.Fatalf("nothing is said of %s", text)
		}
		for _, b := range c.Open() {
			if _, err := s.In(b); err != nil {
				t.Fatal(err)
			}
		}
		a, err := s.Next(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if a.Test.Kind != 0 {
			if _, err := s.Answers(a.Test); err != nil {
				t.Fatal(err)
			}
		}
	})
}
